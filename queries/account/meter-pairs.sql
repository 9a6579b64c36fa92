-- Loads that both the base's meter and the tank's gauge saw.
DELETE FROM account.meter_pair WHERE loaded_at >= cut_at() AND loaded_at < end_at() AND is_kin(aircraft) AND (is_touched(aircraft) OR is_near_tank(tank));
INSERT INTO account.meter_pair
SELECT l.load, s.aircraft, s.loaded_at, s.base, s.tank, ln(l.meter_gal / l.gauge_gal)
FROM stage_load s JOIN told_load l ON l.r = s.r
WHERE s.loaded_at < end_at() AND (is_touched(s.aircraft) OR is_near_tank(s.tank))
  AND s.base IS NOT NULL AND s.tank IS NOT NULL AND l.meter_gal > 0 AND l.gauge_gal > 0;
