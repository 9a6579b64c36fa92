/** First and last door that moved, counted from 1. */
export interface DoorSpan {
  first: number
  last: number
}

/** Share of one door by which volumes may be off before another door is counted. */
const slack = 0.15

/**
 * Doors that a drop needs on a tank whose doors open one after another: the share of the load before it tells where
 * it begins, its own share where it ends, rounded up. All doors when the share is not known.
 * `before`, `released`, `loaded`: gal (loaded: level after the load, 0 when unknown).
 */
export function doorsNeeded(
  doors: number,
  before: number,
  released: number,
  loaded: number,
  capacity: number,
): DoorSpan {
  const whole = loaded > 0 ? loaded : capacity
  if (Number.isNaN(released) || !(whole > 0)) return { first: 1, last: doors }
  const gone = Math.min(1, Math.max(0, 1 - before / whole))
  const share = Math.min(1, released / whole)
  const needed = Math.min(doors, Math.max(1, Math.ceil(share * doors - slack)))
  const first = Math.min(doors - needed + 1, Math.floor(gone * doors + slack) + 1)
  const last = Math.min(doors, Math.max(first + needed - 1, Math.ceil((gone + share) * doors - slack)))
  return { first, last }
}
