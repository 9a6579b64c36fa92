const steps = [1800, 900, 600, 300] as const

/**
 * The step, in seconds, to which a clock's times look rounded: 1 (to the second), 60, 300, 600, 900 or 1800.
 * A coarse step needs at least two different times, or three lines of one, and nine in ten of all on the step: chance puts one
 * minute in five on a step of five, two of them once in 25, and a step that is taken too coarse only makes matching patient.
 */
export function roundingStep(times: readonly number[]): number {
  const count = times.length
  if (count === 0) return 60
  let onMinute = 0
  for (const time of times) if (time % 60 === 0) onMinute++
  if (onMinute < count * 0.9) return 1
  for (const step of steps) {
    let hits = 0
    let first = Number.NaN
    let isTwo = false
    for (const time of times) {
      if (time % step !== 0) continue
      if (hits++ === 0) first = time
      else if (time !== first) isTwo = true
    }
    if ((isTwo || count >= 3) && hits >= count * 0.9) return step
  }
  return 60
}

const gallonSteps = [100, 50, 25, 10, 5] as const

/** The step, gal, to which volumes look rounded: nine in ten are whole multiples. 1 where nothing says so. */
export function volumeStep(volumes: readonly number[]): number {
  let known = 0
  for (const volume of volumes) if (volume > 0) known++
  if (known === 0) return 1
  for (const step of gallonSteps) {
    let hits = 0
    for (let i = 0; i < volumes.length; i++) {
      const volume = volumes[i]!
      if (volume > 0 && Math.abs(volume - step * Math.round(volume / step)) < 0.01) hits++
    }
    if (hits >= 0.9 * known) return step
  }
  return 1
}
