/** Numbers in order, none NaN: `at(i)` for whole `i` from 0 until before `length`. */
export interface Run {
  length: number
  at: (i: number) => number
}

/**
 * Median of the numbers of some runs (at least one number); the same to the last bit as by sorting them all. What of a run lies below
 * a number is found without a look at each, so that the time grows with the runs and hardly with their length.
 */
export function medianOfRuns(runs: readonly Run[]): number {
  // What may be the middle one: of each run the numbers from `from` until before `until`.
  const from = new Int32Array(runs.length)
  const until = Int32Array.from(runs, (run) => run.length)
  const split = new Int32Array(runs.length)
  const count = until.reduce((sum, length) => sum + length, 0)
  const rank = (count - 1) >> 1
  let before = 0
  for (;;) {
    let low = Number.POSITIVE_INFINITY
    let high = Number.NEGATIVE_INFINITY
    let within = 0
    for (const [i, run] of runs.entries()) {
      if (from[i] === until[i]) continue
      low = Math.min(low, run.at(from[i]!))
      high = Math.max(high, run.at(until[i]! - 1))
      within += until[i]! - from[i]!
    }
    if (low === high) {
      if (count % 2 === 1 || before + within > rank + 1) return low
      return (low + leastFrom(runs, until)) / 2
    }
    const halfway = low + (high - low) / 2
    const middle = halfway < high ? halfway : low
    let below = before
    for (const [i, run] of runs.entries()) {
      split[i] = firstAbove(run, from[i]!, until[i]!, middle)
      below += split[i]! - from[i]!
    }
    if (below > rank) until.set(split)
    else {
      before = below
      from.set(split)
    }
  }
}

/** The least of what begins at these places. */
function leastFrom(runs: readonly Run[], places: Int32Array): number {
  return runs.reduce(
    (least, run, i) => (places[i]! < run.length ? Math.min(least, run.at(places[i]!)) : least),
    Number.POSITIVE_INFINITY,
  )
}

/** The first place, from `low` until before `high`, of a number above `limit`; `high` where none is. */
export function firstAbove(run: Run, low: number, high: number, limit: number): number {
  let [from, until] = [low, high]
  while (from < until) {
    const middle = (from + until) >> 1
    if (run.at(middle) > limit) until = middle
    else from = middle + 1
  }
  return from
}
