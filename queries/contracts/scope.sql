-- Contracts that the changed account bears on, and those that share an aircraft with them at the same time: only they are
-- held against it again.
CREATE OR REPLACE TEMP TABLE scope_contract AS
WITH RECURSIVE near AS (
  SELECT a.contract FROM deal_aircraft a JOIN deal_reach r ON r.contract = a.contract
  WHERE a.aircraft IN (SELECT unnest(string_split($list, chr(10)))) AND r.reach_to >= $from::TIMESTAMP - INTERVAL 2 DAY
  UNION
  SELECT b.contract FROM near n JOIN deal_aircraft a ON a.contract = n.contract JOIN deal_reach p ON p.contract = n.contract
  JOIN deal_aircraft b ON b.aircraft = a.aircraft JOIN deal_reach q ON q.contract = b.contract
    AND q.reach_from <= p.reach_to AND q.reach_to >= p.reach_from)
FROM near
