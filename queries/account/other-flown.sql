-- Whether an aircraft flew in a season, between the cut and the end, in which it does not as the account stands, or the other
-- way: a load that nothing followed is told in seasons in which its aircraft's flights are on record.
WITH fresh AS (
  SELECT DISTINCT s.aircraft, z.season FROM stage_flight s JOIN stage_day d ON d.kind = 'flight' AND d.r = s.r
  JOIN day_season z ON z.operating_day = d.operating_day WHERE is_touched(s.aircraft)),
stood AS (
  SELECT DISTINCT aircraft, season FROM account.flight WHERE off_at >= cut_at() AND off_at < end_at() AND is_touched(aircraft))
SELECT EXISTS (FROM fresh EXCEPT FROM stood) OR EXISTS (FROM stood EXCEPT FROM fresh)
