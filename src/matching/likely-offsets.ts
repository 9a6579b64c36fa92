import type { Block } from './blocks.ts'
import { FLIGHT, type Observations } from './observations.ts'

/** Clocks differ by no more, s. */
export const widest = 14.25 * 3600
const binSeconds = 120
const bins = Math.ceil((2 * widest) / binSeconds) + 1
/** Likeness that falls together before an offset is worth a look. */
const leastSum = 0.8
/** Of what falls together at zero, so much must elsewhere; where nearly all does at zero, as in a steady rhythm. */
const leastShare = { usual: 0.7, rhythm: 0.9 }
/** Clocks of which each is rounded to so much, or less, on average, are exact, s. */
const exactSeconds = 60
const zero = Math.round(widest / binSeconds)
/** How many events of like volume lie so far apart, by bin; all 0 between calls. */
const counts = new Float64Array(bins)
/** The bins that hold any: few of them. */
const used = new Int32Array(bins)

/** Zero, and the offsets at which most events of like volume fall together. Null when no kind is shared. */
export function likelyOffsets(
  o: Observations,
  rows: Block['byKind'],
  columns: Block['byKind'],
  halfSum: number,
): number[] | null {
  let usedBins = 0
  let fewer = 0
  let nearZero = 0
  const tolerance = halfSum + 150
  for (let kind = 0; kind < rows.length; kind++) {
    fewer += Math.min(rows[kind]!.length, columns[kind]!.length)
    for (const one of rows[kind]!) {
      let isNear = false
      for (const other of columns[kind]!) {
        const apart = o.start[one]! - o.start[other]!
        if (Math.abs(apart) >= widest) continue
        const bin = Math.round((apart + widest) / binSeconds)
        const like =
          kind === FLIGHT ? likeLong(o, one, other, tolerance) : likeness(o.volume[one]!, o.volume[other]!)
        if (counts[bin] === 0) used[usedBins++] = bin
        counts[bin] = counts[bin]! + like
        if (Math.abs(apart) <= tolerance && like > 0.5) isNear = true
      }
      if (isNear) nearZero++
    }
  }
  if (usedBins === 0) return null
  const isAtZero = fewer >= 3 && nearZero >= 0.85 * fewer
  const reach = Math.max(1, Math.ceil((halfSum + 30) / binSeconds))
  const sorted = used.subarray(0, usedBins).sort()
  const peaks = peaksOf(sorted, reach, leastShare[isAtZero ? 'rhythm' : 'usual'])
  const places = halfSum <= exactSeconds ? peaks.map(highestBeside) : peaks
  for (let place = 0; place < usedBins; place++) counts[sorted[place]!] = 0
  return [0, ...places.map((bin) => bin * binSeconds - widest)]
}

/** The bin that holds most of a bin and its neighbours: between exact clocks the middle of three may be minutes off, and a drop too far. */
function highestBeside(bin: number): number {
  let best = bin
  for (const beside of [bin - 1, bin + 1]) if (counts[beside]! > counts[best]!) best = beside
  return best
}

/** The bins around which most events fall together, at least such a share of those at zero, away from it. @param sorted bins that hold any, ascending */
function peaksOf(sorted: Int32Array, reach: number, share: number): number[] {
  let atZero = 0
  for (let b = zero - reach; b <= zero + reach; b++) atZero += counts[b]!
  const found: { bin: number; sum: number }[] = []
  // What the bins around one hold: each comes in as it is reached and leaves when it lies behind, so that the sum is
  // always added up in the same order.
  let window = 0
  let [coming, leaving] = [0, 0]
  for (let place = 0; place < sorted.length; place++) {
    const bin = sorted[place]!
    for (;;) {
      const comesAt = coming < sorted.length ? sorted[coming]! - reach : bins
      const leavesAt = sorted[leaving]! + reach + 1
      if (Math.min(comesAt, leavesAt) > bin) break
      if (comesAt <= leavesAt) window += counts[sorted[coming++]!]!
      else window -= counts[sorted[leaving++]!]!
    }
    if (window < Math.max(leastSum, share * atZero)) continue
    if (Math.abs(bin - zero) <= reach) continue
    const near = found.find((peak) => Math.abs(peak.bin - bin) <= 2 * reach)
    if (!near) found.push({ bin, sum: window })
    else if (window > near.sum) {
      near.bin = bin
      near.sum = window
    }
  }
  found.sort((a, b) => b.sum - a.sum || Math.abs(a.bin - zero) - Math.abs(b.bin - zero) || a.bin - b.bin)
  return found.slice(0, 4).map((peak) => peak.bin)
}

/** Flights as long as each other are worth a look, even one alone. */
function likeLong(o: Observations, one: number, other: number, tolerance: number): number {
  const [length, its] = [o.end[one]! - o.start[one]!, o.end[other]! - o.start[other]!]
  return Math.abs(length - its) <= tolerance ? leastSum : 0.6
}

function likeness(one: number, other: number): number {
  if (Number.isNaN(one) || Number.isNaN(other)) return 0.6
  return Math.abs(one - other) <= Math.max(60, 0.1 * Math.max(one, other)) ? 1 : 0.15
}
