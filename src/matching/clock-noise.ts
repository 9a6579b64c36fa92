/**
 * Noise is not an offset: what rounding, truncation and scatter explain is taken off, and the nearest half hour is left.
 * @param offset seconds @param step rounding step of the clock, s @param pairs shared events @param spread their median distance from the offset, s
 */
export function withoutNoise(offset: number, step: number, pairs: number, spread: number): number {
  const base = 1800 * Math.round(offset / 1800)
  const rest = offset - base
  const few = Math.sqrt(Math.max(1, pairs))
  const noise = (3 * 1.25 * 1.4826 * spread) / few
  // Minutes that are cut off read early by half a step; the median of times even over a step errs by half of it over root n.
  const rounding = step > 60 ? (3 * step) / 2 / few : 0
  const allowed = Math.max(60, step / 2 + 20 + rounding, noise)
  if (pairs < fewPairs || Math.abs(rest) <= allowed) return base + 0
  return base + 30 * Math.round(rest / 30) + 0
}

/** Fewer pairs than these say nothing about minutes. */
export const fewPairs = 4
