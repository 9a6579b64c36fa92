-- Work on record that no invoice line bills, summed by contract, item and aircraft.
SELECT 'never-billed' AS finding, 'note' AS severity, contracts.work_subject(item, aircraft, contract, season) AS subject,
  min(day)::TIMESTAMP AS happened_at,
  format('{} of {} on {} {} from {} to {} stand on no invoice: {} {} at the contract''s prices', contracts.said(sum(quantity)), item, count(*),
    CASE WHEN count(*) = 1 THEN 'day' ELSE 'days' END, min(day), max(day), contracts.money(sum(amount)), currency) AS message,
  flatten(list(evidence ORDER BY day))[1:100] AS evidence, aircraft
FROM contracts.unbilled WHERE is_asked_work(contract, item, aircraft, season) GROUP BY contract, item, aircraft, currency, season
ORDER BY contract, item, aircraft, season
