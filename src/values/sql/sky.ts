import { equatorialRadius, flattening } from '../geodesic.ts'
import { officialZenith } from '../sun.ts'
import { metresPerNauticalMile } from '../units.ts'
import { literal, once } from './write.ts'

const beta = (latitude: string): string => `atan(${literal(1 - flattening)} * tan(radians(${latitude})))`

const arc = `{p: (b.one + b.two) / 2, q: (b.two - b.one) / 2,
  h: least(1.0, pow(sin((b.two - b.one) / 2), 2) + cos(b.one) * cos(b.two) * pow(sin(radians(b.east) / 2), 2))}`
const corrected = `s.sigma - ${literal(flattening / 2)} * (
    (s.sigma - sin(s.sigma)) * pow(sin(s.p), 2) * pow(cos(s.q), 2) / greatest(1 - s.h, 1e-30)
  + (s.sigma + sin(s.sigma)) * pow(cos(s.p), 2) * pow(sin(s.q), 2) / greatest(s.h, 1e-30))`

/** See `distanceMetres`. */
const distance = once(
  once(
    once(`{one: ${beta('lat1')}, two: ${beta('lat2')}, east: lon2 - lon1}`, 'b', arc),
    'a',
    '{p: a.p, q: a.q, h: a.h, sigma: 2 * asin(sqrt(a.h))}',
  ),
  's',
  corrected,
)

/** See `sunElements`: the same steps, each binding what the next needs. */
const century = `(epoch_us(moment) / 86400000000.0 + 2440587.5 - 2451545) / 36525`
const orbit = `{t: t, l: 280.46646 + t * (36000.76983 + t * 0.0003032), m: radians(357.52911 + t * (35999.05029 - 0.0001537 * t)),
  e: 0.016708634 - t * (0.000042037 + 0.0000001267 * t), n: radians(125.04 - 1934.136 * t)}`
const ecliptic = `{l: o.l, m: o.m, e: o.e,
  a: radians(o.l + sin(o.m) * (1.914602 - o.t * (0.004817 + 0.000014 * o.t)) + sin(2 * o.m) * (0.019993 - 0.000101 * o.t) + sin(3 * o.m) * 0.000289 - 0.00569 - 0.00478 * sin(o.n)),
  q: radians(23 + (26 + (21.448 - o.t * (46.815 + o.t * (0.00059 - o.t * 0.001813))) / 60) / 60 + 0.00256 * cos(o.n))}`
const elements = `{d: asin(sin(k.q) * sin(k.a)),
  eq: 4 * degrees(pow(tan(k.q / 2), 2) * sin(2 * radians(k.l)) - 2 * k.e * sin(k.m) + 4 * k.e * pow(tan(k.q / 2), 2) * sin(k.m) * cos(2 * radians(k.l))
    - 0.5 * pow(tan(k.q / 2), 4) * sin(4 * radians(k.l)) - 1.25 * k.e * k.e * sin(2 * k.m))}`

/** Hour angle in degrees from -180 to 180; a remainder that stays positive. */
const turn = `(((epoch_us(moment) % 86400000000) / 60000000.0 + s.eq + 4 * lon) / 4)`
const place = `{d: s.d, angle: ${turn} - 360 * floor(${turn} / 360) - 180}`
const height = `{angle: h.angle, noon: 90 - abs(lat - degrees(h.d)),
  height: degrees(asin(greatest(-1.0, least(1.0, sin(radians(lat)) * sin(h.d) + cos(radians(lat)) * cos(h.d) * cos(radians(h.angle))))))}`

const doubles = (text: string): string =>
  text.replace(/(?<![\w.])(\d+\.\d+)(?![\w.])/g, "CAST('$1' AS DOUBLE)")

const sun = once(
  once(once(once(once(century, 't', orbit), 'o', ecliptic), 'k', elements), 's', place),
  'h',
  height,
)
const horizon = literal(90 - officialZenith)

export const skyMacros: string[] = [
  `CREATE OR REPLACE MACRO val.distance_nm(lat1, lon1, lat2, lon2) AS ${literal(equatorialRadius)} * (${distance}) / ${literal(metresPerNauticalMile)}`,
  `CREATE OR REPLACE MACRO val.sun(moment, lat, lon) AS ${doubles(sun)}`,
  `CREATE OR REPLACE MACRO val.sun_elevation(moment, lat, lon) AS struct_extract(val.sun(moment, lat, lon), 'height')`,
  `CREATE OR REPLACE MACRO val.is_outside_daylight(moment, lat, lon, margin_min) AS ${once(
    '{b: val.sun(moment - to_minutes(margin_min), lat, lon), a: val.sun(moment + to_minutes(margin_min), lat, lon)}',
    's',
    `s.b.height < ${horizon} AND s.a.height < ${horizon}
      AND NOT (s.b.angle <= 0 AND s.a.angle >= 0 AND s.a.angle - s.b.angle < 180 AND s.b.noon >= ${horizon})`,
  )}`,
]
