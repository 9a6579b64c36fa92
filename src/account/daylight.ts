/**
 * How many minutes a moment lies outside the window from 30 minutes before sunrise to 30 minutes after sunset, at a
 * place: negative inside it. Sunrise is the sun's upper edge on a level horizon with mean refraction (zenith 90.833°).
 *
 * Formulas: NOAA Global Monitoring Laboratory, Solar Calculation Details (after Meeus, Astronomical Algorithms).
 * Window: 30 minutes either side, Interagency SEAT Operations Guide, Day/Night Flight Limitations; local rules may be
 * narrower. Where the sun does not set the moment is inside; where it does not rise, only the minutes about noon are.
 * `t` TIMESTAMP (UTC), `lat` and `lon` degrees (north and east positive).
 */
export const daylightSql = `
CREATE OR REPLACE MACRO account.century(t) AS (epoch_ms(t) / 86400000.0 - 10957.5) / 36525;
CREATE OR REPLACE MACRO account.sun_longitude(c) AS 280.46646 + c * (36000.76983 + c * 0.0003032);
CREATE OR REPLACE MACRO account.sun_anomaly(c) AS 357.52911 + c * (35999.05029 - 0.0001537 * c);
CREATE OR REPLACE MACRO account.sun_apparent(c) AS
  account.sun_longitude(c)
  + sin(radians(account.sun_anomaly(c))) * (1.914602 - c * (0.004817 + 0.000014 * c))
  + sin(radians(2 * account.sun_anomaly(c))) * (0.019993 - 0.000101 * c)
  + sin(radians(3 * account.sun_anomaly(c))) * 0.000289
  - 0.00569 - 0.00478 * sin(radians(125.04 - 1934.136 * c));
CREATE OR REPLACE MACRO account.sun_obliquity(c) AS
  23 + (26 + (21.448 - c * (46.815 + c * (0.00059 - c * 0.001813))) / 60) / 60
  + 0.00256 * cos(radians(125.04 - 1934.136 * c));
CREATE OR REPLACE MACRO account.sun_declination(c) AS
  degrees(asin(sin(radians(account.sun_obliquity(c))) * sin(radians(account.sun_apparent(c)))));
CREATE OR REPLACE MACRO account.equation_of_time(c) AS 4 * degrees(
  pow(tan(radians(account.sun_obliquity(c) / 2)), 2) * sin(2 * radians(account.sun_longitude(c)))
  - 2 * (0.016708634 - c * 0.000042037) * sin(radians(account.sun_anomaly(c)))
  + 4 * (0.016708634 - c * 0.000042037) * pow(tan(radians(account.sun_obliquity(c) / 2)), 2)
    * sin(radians(account.sun_anomaly(c))) * cos(2 * radians(account.sun_longitude(c)))
  - 0.5 * pow(tan(radians(account.sun_obliquity(c) / 2)), 4) * sin(4 * radians(account.sun_longitude(c)))
  - 1.25 * pow(0.016708634 - c * 0.000042037, 2) * sin(2 * radians(account.sun_anomaly(c))));
CREATE OR REPLACE MACRO account.half_day_deg(lat, declination) AS degrees(acos(greatest(-1, least(1,
  cos(radians(90.833)) / (cos(radians(lat)) * cos(radians(declination))) - tan(radians(lat)) * tan(radians(declination))))));
CREATE OR REPLACE MACRO account.hour_angle_deg(t, lon, equation) AS
  fmod(fmod(epoch_ms(t) / 60000.0, 1440) + equation + 4 * lon + 2880, 1440) / 4 - 180;
CREATE OR REPLACE MACRO account.dark_minutes(t, lat, lon, declination, equation) AS
  4 * (abs(account.hour_angle_deg(t, lon, equation)) - account.half_day_deg(lat, declination)) - 30;
`
