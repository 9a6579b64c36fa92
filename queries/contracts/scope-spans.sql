-- On which days each line of those aircraft rests, from the first to the last. One with a ticket rests on the loads with that
-- ticket and on what bore it out before, wherever in a month beside the days it bills; where it has none, on loads of those days
-- whose ticket nobody handed in. Of lines far from the change that is not looked up: they may rest on the whole month.
-- A contract is looked at whole where a day can bear on any other: where prices go by the season's sum, notes take back what lines
-- bill, tickets are named for what was dropped of a load, hours go in hundredths (all flights tell whether its meter shows them),
-- or the same work falls on another day of another contract.
CREATE OR REPLACE TEMP TABLE scope_span AS
WITH near_deal AS (SELECT d.*, a.aircraft AS plane FROM deal d JOIN deal_aircraft a ON a.contract = d.contract WHERE is_asked_plane(a.aircraft)),
near_bill AS (
  SELECT bill_no, contract, invoice, line, aircraft, from_on, to_on, CASE WHEN is_gallons THEN ticket_key END AS ticket_key, item, is_credit,
    off_contract IS NULL AND cancelled_by IS NULL AND NOT coalesce(is_outside, false) AS is_live
  FROM contracts.bill
  WHERE is_of_account(item) AND (is_asked_plane(aircraft) OR aircraft IS NULL AND contract IN (SELECT contract FROM near_deal))),
whole AS (
  SELECT contract FROM priced_fluid WHERE is_tiered
  UNION SELECT contract FROM near_bill WHERE is_credit OR item = 'gallon-delivered' AND ticket_key IS NOT NULL
  UNION SELECT contract FROM near_deal WHERE step_ms < 360000
  UNION SELECT l.contract FROM near_deal l JOIN near_deal e ON e.plane = l.plane AND e.contract <> l.contract AND e.zone IS DISTINCT FROM l.zone
    AND e.starts_on <= l.ends_on + 1 AND e.ends_on >= l.starts_on - 1),
near_load AS (
  SELECT load, aircraft, loaded_at, operating_day FROM account.load
  WHERE is_asked_plane(aircraft) AND loaded_at >= asked_from() - INTERVAL 70 DAY AND loaded_at < asked_to() + INTERVAL 70 DAY),
near_ticket AS (
  SELECT n.*, val.ticket_key(l.ticket) AS ticket_key
  FROM (SELECT load, unnest(string_split(ticket, '; ')) AS ticket FROM ledger.load
    WHERE is_asked_plane(aircraft) AND loaded_at >= asked_from() - INTERVAL 70 DAY AND loaded_at < asked_to() + INTERVAL 70 DAY) l
  JOIN near_load n ON n.load = l.load),
ticketed AS (
  SELECT b.bill_no, b.contract, b.aircraft, b.ticket_key, l.finding,
    list_transform(list_filter(l.evidence, lambda e: starts_with(e, 'load:')), lambda e: e[6:]) AS loads
  FROM near_bill b JOIN contracts.line l ON l.contract = b.contract AND l.invoice = b.invoice AND l.line = b.line
  WHERE b.ticket_key IS NOT NULL AND b.is_live AND b.from_on >= asked_from() - 35 AND b.to_on <= asked_to() + 35),
rest AS (
  SELECT t.bill_no, true AS is_told, coalesce((timezone(d.zone, timezone('UTC', n.loaded_at)))::DATE, n.operating_day) AS day
  FROM near_ticket n JOIN ticketed t ON t.ticket_key = n.ticket_key JOIN near_deal d ON d.contract = t.contract AND d.plane = n.aircraft
  WHERE t.aircraft IS NULL OR t.aircraft = n.aircraft
  UNION ALL
  -- Null: what bore it out is on record no longer.
  SELECT e.bill_no, false, n.operating_day
  FROM (SELECT bill_no, unnest(loads) AS load FROM ticketed) e LEFT JOIN near_load n ON n.load = e.load),
known AS (
  SELECT bill_no, min(day) AS low_on, max(day) AS high_on, bool_or(is_told) AS is_told, bool_or(day IS NULL) AS is_lost FROM rest GROUP BY bill_no),
-- How far beside its days a line may rest on work; null where it rests on the loads with its ticket alone.
reached AS (
  SELECT b.bill_no, b.from_on, b.to_on, k.low_on, k.high_on, CASE
      WHEN b.ticket_key IS NULL OR NOT b.is_live THEN 0
      WHEN t.bill_no IS NULL OR k.is_lost OR t.finding IN ('outside-period', 'not-on-contract') THEN 31
      WHEN k.is_told AND len(t.loads) > 0 THEN NULL ELSE 0 END AS reach
  FROM near_bill b LEFT JOIN ticketed t ON t.bill_no = b.bill_no LEFT JOIN known k ON k.bill_no = b.bill_no)
SELECT bill_no, least(from_on - reach, low_on) AS low_on, greatest(to_on + reach, high_on) AS high_on FROM reached
UNION ALL
SELECT NULL, r.reach_from - 3, r.reach_to + 3 FROM deal_reach r
WHERE r.contract IN (FROM whole) AND r.contract IN (SELECT contract FROM near_deal);
