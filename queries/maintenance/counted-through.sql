-- Last day on which every witness that reports on a tank in that year has reported.
SELECT tank, max(operating_day) - DATE '1970-01-01' AS day
FROM account.fully_reported CROSS JOIN due_ask WHERE operating_day <= as_of GROUP BY tank ORDER BY tank;
