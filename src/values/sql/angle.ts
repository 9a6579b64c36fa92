import { type Axis, angleLimits, anglePattern, compactPattern } from '../angle.ts'
import type { Decimal } from '../number.ts'
import { pairPatterns } from '../pair.ts'
import { anySpace } from './text.ts'
import { once, quote } from './write.ts'

const axes: readonly Axis[] = ['lat', 'lon']
const signs = ['', '+', '-', '−', '–']
const letters = { lat: ['N', 'S'], lon: ['E', 'W'] } as const

/** Hemisphere before, sign and hemisphere behind, run together: the readings that mean north or east, south or west. */
function keys(axis: Axis): { positive: string; negative: string } {
  const both = (letter: string) => [letter, letter.toLowerCase()]
  const withSign = (list: string[], allowed: string[]) =>
    list.flatMap((letter) => allowed.flatMap((sign) => [letter + sign, sign + letter]))
  const positive = ['', '+', ...withSign(both(letters[axis][0]), ['', '+'])]
  const negative = [...signs.slice(2), ...withSign(both(letters[axis][1]), ['', ...signs.slice(2)])]
  return { positive: positive.map(quote).join(', '), negative: negative.map(quote).join(', ') }
}

/** Degrees from the groups of a pattern; the pattern has already judged minutes and seconds. */
function degrees(axis: Axis): string {
  const { positive, negative } = keys(axis)
  const size = `TRY_CAST(g.dd || g.d AS DOUBLE) + TRY_CAST('0' || g.mm || g.m AS DOUBLE) / 60 + TRY_CAST('0' || g.s AS DOUBLE) / 3600`
  return `(${size}) * CASE WHEN g.h || g.sg || g.k IN (${positive}) THEN 1 WHEN g.h || g.sg || g.k IN (${negative}) THEN -1 END`
}

const ranged = (axis: Axis, value: string): string =>
  once(value, 'v', `CASE WHEN abs(v) <= ${angleLimits[axis]} THEN v + 0 END`)

function macros(axis: Axis): string[] {
  const pattern = quote(anglePattern(axis, `${anySpace}*`))
  const compact = quote(compactPattern(axis, `${anySpace}*`))
  const extract = `regexp_extract(x, ${pattern}, ['h', 'sg', 'dd', 'd', 'mm', 'm', 's', 'k'])`
  const digits = `regexp_extract(x, ${compact}, ['h', 'd', 'm', 'mm', 's', 'k'])`
  const fromDigits = `CASE WHEN (g.h = '') <> (g.k = '') THEN (TRY_CAST(g.d AS DOUBLE) + TRY_CAST(g.m || g.mm AS DOUBLE) / 60 + TRY_CAST('0' || g.s AS DOUBLE) / 3600)
    * CASE WHEN lower(g.h || g.k) IN ('s', 'w') THEN -1 ELSE 1 END END`
  return [
    `CREATE OR REPLACE MACRO val.${axis}(x) AS CASE
      WHEN regexp_full_match(x, '[+-]?[0-9]{1,3}[.][0-9]+') THEN CASE WHEN abs(TRY_CAST(x AS DOUBLE)) <= ${angleLimits[axis]} THEN TRY_CAST(x AS DOUBLE) END
      WHEN regexp_matches(x, ${compact}) THEN ${ranged(axis, once(digits, 'g', fromDigits))}
      ELSE ${ranged(axis, once(extract, 'g', degrees(axis)))} END`,
  ]
}

/** Text of one coordinate of a cell `t` that holds both, by the first pattern that fits. */
function halfOf(axis: Axis): string {
  const branches = pairPatterns.map(({ pattern, swapped }) => {
    const group = (axis === 'lat') !== (swapped === true) ? 1 : 2
    return `WHEN regexp_matches(t, ${quote(pattern)}) THEN regexp_extract(t, ${quote(pattern)}, ${group})`
  })
  return `CASE ${branches.join(' ')} END`
}

const signed = '[+-]?[0-9]{1,3}[.][0-9]+'

function pairMacro(axis: Axis): string {
  const part = axis === 'lat' ? 1 : 2
  const tidied = `regexp_replace(val.plain_text(x), ' ([,;/])', '\\1', 'g')`
  return `CREATE OR REPLACE MACRO val.pair_${axis}(x) AS CASE WHEN regexp_full_match(x, '${signed}, ?${signed}')
    THEN ${once(`TRY_CAST(split_part(x, ',', ${part}) AS DOUBLE)`, 'v', `CASE WHEN abs(v) <= ${angleLimits[axis]} THEN v END`)}
    ELSE ${once(once(tidied, 't', halfOf(axis)), 'h', `val.${axis}(h)`)} END`
}

export const angleSqlMacros: string[] = [...axes.flatMap(macros), ...axes.map(pairMacro)]

export interface SqlAngleOptions {
  axis: Axis
  decimal?: Decimal
}

/** SQL for a latitude or longitude in degrees; NULL if it cannot be read. See `readAngle`. */
export const angle = (expr: string, options: SqlAngleOptions): string =>
  `val.${options.axis}(${options.decimal === ',' ? `replace(${expr}, ',', '.')` : expr})`

const pointed = (expr: string, decimal: Decimal | undefined): string =>
  decimal === ',' ? `replace(regexp_replace(${expr}, ',([0-9])', '.\\1', 'g'), ', ', '; ')` : expr

/** SQL for the latitude, or longitude, of a cell that holds both; NULL if that half cannot be read. See `readPair`. */
export const pairLat = (expr: string, options: { decimal?: Decimal } = {}): string =>
  `val.pair_lat(${pointed(expr, options.decimal)})`
export const pairLon = (expr: string, options: { decimal?: Decimal } = {}): string =>
  `val.pair_lon(${pointed(expr, options.decimal)})`
