-- Where positions can be: five degrees around all bases and fires.
CREATE OR REPLACE TEMP TABLE reach AS
SELECT min(latitude) - 5 AS south, max(latitude) + 5 AS north, min(longitude) - 5 AS west, max(longitude) + 5 AS east
FROM (SELECT latitude, longitude FROM account.base UNION ALL SELECT latitude, longitude FROM account.fire);
