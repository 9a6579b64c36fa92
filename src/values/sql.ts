import { angle, angleSqlMacros, pairLat, pairLon } from './sql/angle.ts'
import { identifierMacros } from './sql/identifiers.ts'
import { measure, number, numberSqlMacros } from './sql/number.ts'
import { skyMacros } from './sql/sky.ts'
import { textMacros } from './sql/text.ts'
import { date, localDate, time, timeMacros, timeTrouble } from './sql/time.ts'

/**
 * Statements that make the macros of schema `val`, in order; the caller has created the schema. They raise
 * nothing, give NULL for what is blank or cannot be read, and depend on no session setting. Besides the readers: `val.distance_nm(lat1, lon1, lat2, lon2)`,
 * `val.sun_elevation(moment, lat, lon)` and `val.is_outside_daylight(moment, lat, lon, margin_min)` with the moment in UTC.
 */
export const valueMacros: string[] = [
  ...textMacros,
  ...numberSqlMacros,
  ...angleSqlMacros,
  ...timeMacros,
  ...skyMacros,
  ...identifierMacros,
]

const tidy = (expr: string): string => `val.tidy(${expr})`

/**
 * SQL expressions over text columns, the SQL face of the readers of the same names. `expr` may be untidy; it is
 * mentioned more than once, so give a column, not a computation.
 */
export const sqlValue = {
  tidy,
  number,
  measure,
  time,
  timeTrouble,
  date,
  localDate,
  angle,
  pairLat,
  pairLon,
} as const

export type { SqlAngleOptions } from './sql/angle.ts'
export type { SqlMeasureOptions } from './sql/number.ts'
export type { SqlTimeOptions, SqlTroubleOptions } from './sql/time.ts'
export type { SqlZone } from './sql/zone.ts'
