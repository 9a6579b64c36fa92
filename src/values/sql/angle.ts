import { type Axis, anglePattern, compactPattern } from '../angle.ts'
import type { Decimal } from '../number.ts'
import { pairPatterns } from '../pair.ts'
import { once, quote } from './write.ts'

/** A coordinate from its parts `g` (h hemisphere before, sg sign, d, m, s, k hemisphere behind), all text. */
function assemble(axis: Axis): string {
  const limit = axis === 'lat' ? 90 : 180
  const size = `TRY_CAST(g.d AS DOUBLE) + TRY_CAST('0' || g.m AS DOUBLE) / 60 + TRY_CAST('0' || g.s AS DOUBLE) / 3600`
  const sixtieth = (part: string) =>
    `(TRY_CAST('0' || ${part} AS DOUBLE) < 60 OR (contains(${part}, '.') AND TRY_CAST('0' || ${part} AS DOUBLE) = 60))`
  const letter = 'lower(g.h || g.k)'
  return `CASE WHEN ${letter} IN ('', 'n', 'e', 's', 'w')
      AND NOT (g.sg NOT IN ('', '+') AND ${letter} IN ('n', 'e')) AND NOT (g.sg = '+' AND ${letter} IN ('s', 'w'))
      AND NOT (g.m <> '' AND contains(g.d, '.')) AND NOT (g.s <> '' AND contains(g.m, '.'))
      AND ${sixtieth('g.m')} AND ${sixtieth('g.s')} AND ${size} <= ${limit}
    THEN (${size}) * CASE WHEN g.sg NOT IN ('', '+') OR ${letter} IN ('s', 'w') THEN -1 ELSE 1 END END`
}

function angleMacros(axis: Axis): string[] {
  const groups = `['h', 'sg', 'd', 'm', 's', 'k']`
  const compact = compactPattern(axis).replace(/^\^\((.*?)\) \?/, (_, hemisphere) => `^(${hemisphere})() ?`)
  const bare = '[+-]?[0-9]{1,3}(?:[.][0-9]+)?'
  const limit = axis === 'lat' ? 90 : 180
  return [
    `CREATE OR REPLACE MACRO val.${axis}_notation(t) AS ${once(
      `CASE WHEN regexp_matches(t, '[0-9]{4}[0-9]*[^0-9]*[.]?[0-9]*[NSEWnsew]?$') AND length(regexp_replace(t, '[^NSEWnsew]', '', 'g')) = 1 AND regexp_matches(t, ${quote(compact)})
        THEN regexp_extract(t, ${quote(compact)}, ${groups})
        ELSE regexp_extract(t, ${quote(anglePattern(axis))}, ${groups}) END`,
      'g',
      assemble(axis),
    )}`,
    // Signed decimal degrees are the common spelling and need no notation.
    `CREATE OR REPLACE MACRO val.${axis}(x) AS CASE WHEN regexp_full_match(x, ${quote(bare)})
      THEN CASE WHEN abs(TRY_CAST(x AS DOUBLE)) <= ${limit} THEN TRY_CAST(x AS DOUBLE) END
      ELSE val.${axis}_notation(val.tidy(x)) END`,
  ]
}

/** Text of latitude and longitude in one cell, by the first pattern that fits. */
const pairBranches = pairPatterns.map(
  ({ pattern, swapped }) =>
    `WHEN regexp_matches(t, ${quote(pattern)}) THEN regexp_extract(t, ${quote(pattern)}, ${swapped ? "['b', 'a']" : "['a', 'b']"})`,
)

/** A swapped pair has its fields in the other order; rebuilt so that every branch has one type. */
const inOrder = (branch: string): string =>
  branch.includes("['b', 'a']")
    ? branch.replace(/THEN (.*)$/s, (_, extract) => `THEN ${once(extract, 's', '{a: s.a, b: s.b}')}`)
    : branch

export const angleSqlMacros = [
  ...angleMacros('lat'),
  ...angleMacros('lon'),
  `CREATE OR REPLACE MACRO val.pair_parts(x) AS ${once(`regexp_replace(val.tidy(x), ' ([,;/])', '\\1', 'g')`, 't', `CASE ${pairBranches.map(inOrder).join(' ')} END`)}`,
  `CREATE OR REPLACE MACRO val.pair_lat(x) AS ${once('val.pair_parts(x)', 'p', 'val.lat(p.a)')}`,
  `CREATE OR REPLACE MACRO val.pair_lon(x) AS ${once('val.pair_parts(x)', 'p', 'val.lon(p.b)')}`,
]

export interface SqlAngleOptions {
  axis: Axis
  decimal?: Decimal
}

const pointed = (expr: string, decimal: Decimal | undefined): string =>
  decimal === ',' ? `replace(${expr}, ',', '.')` : expr

/** SQL for a latitude or longitude in degrees; NULL if it cannot be read. See `readAngle`. */
export const angle = (expr: string, options: SqlAngleOptions): string =>
  `val.${options.axis}(${pointed(expr, options.decimal)})`

const pointedPair = (expr: string, decimal: Decimal | undefined): string =>
  decimal === ',' ? `replace(regexp_replace(${expr}, ',([0-9])', '.\\1', 'g'), ', ', '; ')` : expr

/** SQL for the latitude, or longitude, of a cell that holds both; NULL if that half cannot be read. See `readPair`. */
export const pairLat = (expr: string, options: { decimal?: Decimal } = {}): string =>
  `val.pair_lat(${pointedPair(expr, options.decimal)})`
export const pairLon = (expr: string, options: { decimal?: Decimal } = {}): string =>
  `val.pair_lon(${pointedPair(expr, options.decimal)})`
