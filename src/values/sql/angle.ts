import {
  type Axis,
  angleLimits,
  anglePattern,
  compactParts,
  compactPattern,
  negativePattern,
  partsPattern,
} from '../angle.ts'
import type { Decimal } from '../number.ts'
import { pairPatterns } from '../pair.ts'
import { anySpace } from './text.ts'
import { once, quote } from './write.ts'

const axes: readonly Axis[] = ['lat', 'lon']

/** Size of an angle from the parts of a text that has already been judged; the lambda stays small on purpose. */
function size(parts: string): string {
  const sum = `TRY_CAST(g.d AS DOUBLE) + TRY_CAST('0' || g.m AS DOUBLE) / 60 + TRY_CAST('0' || g.s AS DOUBLE) / 3600`
  return once(`regexp_extract(x, ${quote(parts)}, ['d', 'm', 's'])`, 'g', sum)
}

/** Degrees and decimal minutes as most instruments write them: once the text fits, its marks alone tell the parts. */
const plainMinutes = {
  lat: `0?[0-8]?[0-9]° ?[0-5]?[0-9][.][0-9]+' ?[NS]`,
  lon: `(?:1[0-7][0-9]|0?[0-9]?[0-9])° ?[0-5]?[0-9][.][0-9]+' ?[EW]`,
} as const
const ofPlainMinutes = `TRY_CAST(split_part(x, '°', 1) AS DOUBLE) + TRY_CAST(split_part(split_part(x, '°', 2), '''', 1) AS DOUBLE) / 60`

/** The common notations first; the patterns that know all of them are dear. */
function macro(axis: Axis): string {
  const limit = angleLimits[axis]
  const sign = `CASE WHEN regexp_matches(x, ${quote(negativePattern)}) THEN 0 - v ELSE v END`
  const signed = (parts: string) => sign.replaceAll(/\bv\b/g, size(parts))
  return `CREATE OR REPLACE MACRO val.${axis}(x) AS CASE
    WHEN regexp_full_match(x, '[+-]?[0-9]{1,3}[.][0-9]+') THEN CASE WHEN abs(TRY_CAST(x AS DOUBLE)) <= ${limit} THEN TRY_CAST(x AS DOUBLE) + 0 END
    WHEN regexp_full_match(x, ${quote(plainMinutes[axis])})
      THEN CASE WHEN x LIKE '%${axis === 'lat' ? 'S' : 'W'}' THEN 0 - (${ofPlainMinutes}) ELSE ${ofPlainMinutes} END
    WHEN regexp_matches(x, ${quote(anglePattern(axis, `${anySpace}*`))}) THEN ${signed(partsPattern)}
    WHEN regexp_matches(x, ${quote(compactPattern(axis, `${anySpace}*`))}) THEN ${signed(compactParts(axis))} END`
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

export const angleSqlMacros: string[] = [...axes.map(macro), ...axes.map(pairMacro)]

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
