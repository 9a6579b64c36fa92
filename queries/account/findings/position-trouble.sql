-- A position of 0/0, with latitude and longitude exchanged, or with a sign lost.
SELECT 'position-' || position_trouble AS finding, 'warning' AS severity, 'drop ' || "drop" AS subject, dropped_at AS happened_at,
  format('the position {:.3f}, {:.3f} {}; it is not used to find the fire', latitude, longitude,
    CASE position_trouble WHEN 'zero' THEN 'is where a receiver without a fix stands'
      WHEN 'swapped' THEN 'fits the region with latitude and longitude exchanged'
      ELSE 'fits the region with the sign of a coordinate changed' END) AS message,
  ['drop:' || "drop"] AS evidence, aircraft, tank
FROM scoped_drop WHERE position_trouble IS NOT NULL
