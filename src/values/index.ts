/** Text to value or problem: everything the other rooms read text with. */
export { type AngleOptions, type Axis, readAngle } from './angle.ts'
export * from './coverage.ts'
export { readDoors } from './doors.ts'
export { readFraction } from './fraction.ts'
export { distanceMetres, distanceNm } from './geodesic.ts'
export { billedHours, type HoursRule, minutesToHours } from './hours.ts'
export * from './identifiers.ts'
export { type IntervalLength, readDurationMonthsOrNumber } from './interval.ts'
export { type MeasureOptions, readMeasure } from './measure.ts'
export { cents, compareMoney, fromCents, mulRound, subtractMoney, sumMoney } from './money.ts'
export { type Decimal, readNumber } from './number.ts'
export { type Position, readPair } from './pair.ts'
export { readMgrs, readPosition, readUtm } from './position.ts'
export {
  formatDecimalDegrees,
  formatDegreesMinutes,
  formatDegreesMinutesSeconds,
  formatPosition,
} from './position-format.ts'
export { type PositionTrouble, positionTrouble, type Region } from './position-trouble.ts'
export type { Read } from './read.ts'
export { editDistance, nameScore, type Suggestion, suggest } from './similarity.ts'
export {
  type SqlAngleOptions,
  type SqlMeasureOptions,
  type SqlTimeOptions,
  type SqlTroubleOptions,
  type SqlZone,
  sqlValue,
  valueMacros,
} from './sql.ts'
export { isOutsideDaylight, type SunDay, sunDay, sunElevation } from './sun.ts'
export { isBlank, placeholders, tidy } from './text.ts'
export { localDate, readDate, readTime, type TimeOptions, timeFormatTrouble, timeTrouble } from './time.ts'
export * from './units.ts'
export * from './words.ts'
export {
  isZone,
  localToUtc,
  type TimeTrouble,
  type ZoneTransition,
  zoneOffset,
  zoneTransitions,
} from './zone.ts'
