-- What the changed account bears on, of lines and days: some aircraft, from a day on, and no less than belongs together.
-- A line or a price that is for several aircraft at once ties those of its contract together.
CREATE OR REPLACE TEMP TABLE scope_plane AS
WITH RECURSIVE joint AS (
  SELECT contract FROM contracts.bill WHERE aircraft IS NULL AND is_of_account(item)
  UNION SELECT contract FROM priced_fluid WHERE is_tiered),
near AS (
  SELECT unnest(string_split($list, chr(10))) AS plane
  UNION
  SELECT b.aircraft FROM near n JOIN deal_aircraft a ON a.aircraft = n.plane JOIN joint j ON j.contract = a.contract
  JOIN deal_aircraft b ON b.contract = a.contract)
FROM near;
