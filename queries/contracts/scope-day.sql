-- From which day on. A line may rest on the days that it bills, one with a ticket on a month beside them; lines whose days
-- overlap are looked at together. A contract is looked at whole where a day can bear on any other: where prices go by the
-- season's sum, notes take back what lines bill, tickets are named for what was dropped of a load, hours go in hundredths (all
-- flights tell whether its meter shows them), or the same work falls on another day of another contract.
WITH near_deal AS (
  SELECT d.*, a.aircraft AS plane FROM deal d JOIN deal_aircraft a ON a.contract = d.contract WHERE a.aircraft IN (FROM scope_plane)),
near_bill AS (
  SELECT contract, from_on, to_on, ticket_key, item, is_credit, is_gallons FROM contracts.bill
  WHERE is_of_account(item) AND (aircraft IN (FROM scope_plane) OR aircraft IS NULL AND contract IN (SELECT contract FROM near_deal))),
whole AS (
  SELECT contract FROM priced_fluid WHERE is_tiered
  UNION SELECT contract FROM near_bill WHERE is_credit OR item = 'gallon-delivered' AND ticket_key IS NOT NULL
  UNION SELECT contract FROM near_deal WHERE step_ms < 360000
  UNION SELECT l.contract FROM near_deal l JOIN near_deal e ON e.plane = l.plane AND e.contract <> l.contract AND e.zone IS DISTINCT FROM l.zone
    AND e.starts_on <= l.ends_on + 1 AND e.ends_on >= l.starts_on - 1),
span AS (
  SELECT DISTINCT from_on - reach AS low_on, to_on + reach AS high_on
  FROM (SELECT *, CASE WHEN is_gallons AND ticket_key IS NOT NULL THEN 31 ELSE 0 END AS reach FROM near_bill)
  UNION
  SELECT r.reach_from - 3, r.reach_to + 3 FROM deal_reach r
  WHERE r.contract IN (FROM whole) AND r.contract IN (SELECT contract FROM near_deal)),
step AS (
  SELECT low_on, high_on, low_on > max(high_on) OVER (ORDER BY low_on, high_on ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING) AS is_apart FROM span),
island AS (SELECT low_on, high_on, count(*) FILTER (is_apart) OVER (ORDER BY low_on, high_on ROWS UNBOUNDED PRECEDING) AS n FROM step),
whole_island AS (SELECT min(low_on) AS low_on, max(high_on) AS high_on FROM island GROUP BY n)
SELECT least(c.day, (SELECT min(low_on) FROM whole_island w WHERE w.high_on >= c.day))::VARCHAR AS day
FROM (SELECT $from::TIMESTAMP::DATE - 2 AS day) c
