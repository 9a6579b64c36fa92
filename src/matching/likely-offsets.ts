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
/** The bins that hold any, ascending: few of them. */
const used = new Int32Array(bins)
/** Peaks, and what falls together around each. */
const peakBins = new Int32Array(bins)
const peakSums = new Float64Array(bins)
const mostPeaks = 4

/** Zero, and the offsets at which most events of like volume fall together. Null when no kind is shared. */
export function likelyOffsets(
  o: Observations,
  rows: Block['byKind'],
  columns: Block['byKind'],
  halfSum: number,
): number[] | null {
  let [lowest, highest] = [bins, -1]
  const { start, end, volume } = o
  let fewer = 0
  let nearZero = 0
  const tolerance = halfSum + 150
  for (let kind = 0; kind < rows.length; kind++) {
    fewer += Math.min(rows[kind]!.length, columns[kind]!.length)
    for (const one of rows[kind]!) {
      const [at, gallons, length] = [start[one]!, volume[one]!, end[one]! - start[one]!]
      let isNear = false
      for (const other of columns[kind]!) {
        const begin = start[other]!
        const apart = at - begin
        if (Math.abs(apart) >= widest) continue
        const bin = Math.round((apart + widest) / binSeconds)
        const like =
          kind === FLIGHT
            ? likeLong(length, end[other]! - begin, tolerance)
            : likeness(gallons, volume[other]!)
        if (bin < lowest) lowest = bin
        if (bin > highest) highest = bin
        counts[bin] = counts[bin]! + like
        if (Math.abs(apart) <= tolerance && like > 0.5) isNear = true
      }
      if (isNear) nearZero++
    }
  }
  if (highest < 0) return null
  let usedBins = 0
  for (let bin = lowest; bin <= highest; bin++) if (counts[bin]! > 0) used[usedBins++] = bin
  const isAtZero = fewer >= 3 && nearZero >= 0.85 * fewer
  const reach = Math.max(1, Math.ceil((halfSum + 30) / binSeconds))
  const peaks = peaksOf(usedBins, reach, leastShare[isAtZero ? 'rhythm' : 'usual'])
  const isExact = halfSum <= exactSeconds
  const offsets = [0]
  for (let place = 0; place < peaks.length; place++) {
    const bin = isExact ? highestBeside(peaks[place]!) : peaks[place]!
    offsets.push(bin * binSeconds - widest)
  }
  for (let place = 0; place < usedBins; place++) counts[used[place]!] = 0
  return offsets
}

/** The bin that holds most of a bin and its neighbours: between exact clocks the middle of three may be minutes off, and a drop too far. */
function highestBeside(bin: number): number {
  let best = bin
  for (const beside of [bin - 1, bin + 1]) if (counts[beside]! > counts[best]!) best = beside
  return best
}

/** The bins around which most events fall together, at least such a share of those at zero, away from it. @param usedBins how many hold any */
function peaksOf(usedBins: number, reach: number, share: number): number[] {
  let atZero = 0
  for (let b = zero - reach; b <= zero + reach; b++) atZero += counts[b]!
  let found = 0
  // What the bins around one hold: each comes in as it is reached and leaves when it lies behind, so that the sum is
  // always added up in the same order.
  let window = 0
  let [coming, leaving] = [0, 0]
  for (let place = 0; place < usedBins; place++) {
    const bin = used[place]!
    for (;;) {
      const comesAt = coming < usedBins ? used[coming]! - reach : bins
      const leavesAt = used[leaving]! + reach + 1
      if (Math.min(comesAt, leavesAt) > bin) break
      if (comesAt <= leavesAt) window += counts[used[coming++]!]!
      else window -= counts[used[leaving++]!]!
    }
    if (window < Math.max(leastSum, share * atZero)) continue
    if (Math.abs(bin - zero) <= reach) continue
    let near = 0
    while (near < found && Math.abs(peakBins[near]! - bin) > 2 * reach) near++
    if (near === found) found++
    else if (window <= peakSums[near]!) continue
    peakBins[near] = bin
    peakSums[near] = window
  }
  return highest(found)
}

/** The bins of the highest peaks, the highest first, of equal ones the nearest to zero. @param found how many there are */
function highest(found: number): number[] {
  const bins: number[] = []
  for (let left = found; left > 0 && bins.length < mostPeaks; left--) {
    let best = 0
    for (let peak = 1; peak < left; peak++) if (isHigher(peak, best)) best = peak
    bins.push(peakBins[best]!)
    peakBins[best] = peakBins[left - 1]!
    peakSums[best] = peakSums[left - 1]!
  }
  return bins
}

function isHigher(one: number, other: number): boolean {
  const [a, b] = [peakBins[one]!, peakBins[other]!]
  const more = peakSums[one]! - peakSums[other]! || Math.abs(b - zero) - Math.abs(a - zero) || b - a
  return more > 0
}

/** Flights as long as each other are worth a look, even one alone. */
function likeLong(one: number, other: number, tolerance: number): number {
  return Math.abs(one - other) <= tolerance ? leastSum : 0.6
}

function likeness(one: number, other: number): number {
  if (Number.isNaN(one) || Number.isNaN(other)) return 0.6
  return Math.abs(one - other) <= Math.max(60, 0.1 * Math.max(one, other)) ? 1 : 0.15
}
