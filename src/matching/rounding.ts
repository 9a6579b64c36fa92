const steps = [1800, 900, 600, 300] as const

/**
 * The step, in seconds, to which a clock's times look rounded: 1 (to the second), 60, 300, 600, 900 or 1800.
 * A coarse step needs at least three different times, and nine in ten of them on the step: chance puts one
 * minute in five on a step of five, three in a row once in 125.
 */
export function roundingStep(times: readonly number[]): number {
  const count = times.length
  if (count === 0) return 60
  let onMinute = 0
  for (const time of times) if (time % 60 === 0) onMinute++
  if (onMinute < count * 0.9) return 1
  for (const step of steps) {
    const on = new Set<number>()
    let hits = 0
    for (const time of times) {
      if (time % step !== 0) continue
      hits++
      on.add(time)
    }
    if (on.size >= 3 && hits >= count * 0.9) return step
  }
  return 60
}
