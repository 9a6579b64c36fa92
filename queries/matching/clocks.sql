-- Clocks, one row per source, aircraft and stretch of record without an idle gap of 5 h, and the findings they give.
INSERT INTO ledger.clock
SELECT s.source, s.base, s.witness, a.aircraft, make_timestamp(((c.start_s - c.offset_s) * 1000000)::BIGINT)::DATE,
  c.offset_s / 60, c.pairs, c.basis, round(c.spread_s / 60, 3), make_timestamp((c.start_s * 1000000)::BIGINT),
  make_timestamp((c.end_s * 1000000)::BIGINT), c.is_open,
  c.own_s / 60, c.own_is_strong, c.own_against
FROM match_clock c JOIN match_source s ON s.number = c.source JOIN match_aircraft a ON a.number = c.aircraft
ORDER BY a.aircraft, s.source, s.base, c.start_s;

INSERT INTO ledger.finding
SELECT md5('clock-offset|' || source || '|' || aircraft || '|' || started_at || '|' || offset_min), 'clock-offset',
  'warning', aircraft || ' ' || source, started_at,
  format('the clock of {} on {} reads {:.1f} min {} on {}: {}, {}', source, aircraft,
    abs(offset_min), CASE WHEN offset_min > 0 THEN 'late' ELSE 'early' END, day::VARCHAR,
    CASE pairs WHEN 0 THEN 'no event of that day shared' WHEN 1 THEN '1 shared event' ELSE pairs || ' shared events' END,
    CASE basis WHEN 'tracker' THEN 'held against the tracker' WHEN 'controller' THEN 'held against the controller'
      WHEN 'majority' THEN 'as most who wrote that day agree' WHEN 'neighbours' THEN 'as on the days around'
      WHEN 'pooled' THEN 'the days of a week taken together' ELSE 'held against the other who wrote' END),
  ['aircraft:' || aircraft], aircraft, NULL
FROM (
  SELECT ledger.clock_name(s.source, s.base) AS source, a.aircraft, make_timestamp(((c.start_s - c.offset_s) * 1000000)::BIGINT)::DATE AS day,
    c.offset_s / 60 AS offset_min, c.pairs, c.basis, make_timestamp((c.start_s * 1000000)::BIGINT) AS started_at
  FROM match_clock c JOIN match_source s ON s.number = c.source JOIN match_aircraft a ON a.number = c.aircraft
)
WHERE abs(offset_min) >= 30 OR abs(offset_min) >= 3 AND (pairs >= 3 OR basis = 'neighbours')
ORDER BY aircraft, source, started_at;
