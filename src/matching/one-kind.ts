import { type Alignment, align, bandWithin } from './alignment.ts'
import { type Drift, driftAt, fitDrift, noDrift } from './clock-drift.ts'
import { DROP, FLIGHT, LOAD, type Observations } from './observations.ts'
import { Profile } from './profile.ts'
import { apartPenalty, flightReachSeconds, pairScore, reachSeconds, runScore, volumeScore } from './scores.ts'

/** Common-clock times of observations and half their rounding steps, seconds, by observation. */
export interface CommonTimes {
  readonly time: Float64Array
  readonly end: Float64Array
  readonly half: Float64Array
}

/** What one source tells of one kind in one segment: observations in time order. */
export interface Strand {
  readonly source: number
  readonly indices: readonly number[]
  /** May one line of it stand for a run of events? Crews write so. */
  readonly mayRun: boolean
}

/**
 * One segment's events of one kind from all sources at once: strands join one after another, finest clocks
 * first, each aligned against everything told so far: the order of events is then that of the finest clock that told of
 * them, which rounded times would disturb.
 * `breaks` are times that no run of drops, and no pair of part loads, may reach across.
 */
export function joinStrands(
  o: Observations,
  kind: number,
  strands: readonly Strand[],
  times: CommonTimes,
  breaks: readonly number[],
): Profile {
  const profile = new Profile()
  for (const strand of strands) addStrand(o, kind, profile, strand, times, breaks)
  return profile
}

function addStrand(
  o: Observations,
  kind: number,
  profile: Profile,
  strand: Strand,
  times: CommonTimes,
  breaks: readonly number[],
): void {
  const { indices } = strand
  if (profile.count > 0) {
    let found = alignStrand(o, kind, profile, strand, times, noDrift, breaks)
    const drift = driftOf(profile, indices, found, times)
    if (drift !== noDrift) found = alignStrand(o, kind, profile, strand, times, drift, breaks)
    indices.forEach((index, row) => {
      const last = found.column[row]!
      if (last < 0) return
      const length = found.length[row]!
      if (length === 1) profile.join(o, last, index)
      else for (let event = last - length + 1; event <= last; event++) profile.stand(event, index)
    })
    indices.forEach((index, row) => {
      if (found.column[row]! < 0) insert(o, profile, index, times)
    })
  } else {
    for (const index of indices) insert(o, profile, index, times)
  }
}

function insert(o: Observations, profile: Profile, index: number, times: CommonTimes): void {
  profile.insert(o, index, times.time[index]!, times.end[index]!, times.half[index]!)
}

function driftOf(profile: Profile, indices: readonly number[], found: Alignment, times: CommonTimes): Drift {
  const at: number[] = []
  const residuals: number[] = []
  indices.forEach((index, row) => {
    const event = found.column[row]!
    if (event < 0 || found.length[row] !== 1 || found.isPart[row] === 1) return
    at.push(times.time[index]!)
    residuals.push(times.time[index]! - profile.time[event]!)
  })
  return fitDrift(at, residuals)
}

function alignStrand(
  o: Observations,
  kind: number,
  profile: Profile,
  strand: Strand,
  times: CommonTimes,
  drift: Drift,
  breaks: readonly number[],
): Alignment {
  const { indices } = strand
  const count = indices.length
  const starts = new Float64Array(count)
  const ends = new Float64Array(count)
  for (let row = 0; row < count; row++) {
    const index = indices[row]!
    const error = drift === noDrift ? 0 : driftAt(drift, times.time[index]!)
    starts[row] = times.time[index]! - error
    ends[row] = times.end[index]! - error
  }
  const band = bandWithin(starts, profile.time, kind === FLIGHT ? flightReachSeconds : reachSeconds)
  const score = (row: number, event: number): number =>
    pairScore(o, indices[row]!, starts[row]!, ends[row]!, times.half[indices[row]!]!, profile, event)
  const found = align({
    rows: count,
    columns: profile.count,
    low: band.low,
    high: band.high,
    score,
    longestRun: 6,
    run:
      kind === DROP && strand.mayRun
        ? (row, first, last) => {
            const index = indices[row]!
            if (o.volume[index]! < profile.volume[last]!) return -1
            const together = runScore(o, index, starts[row]!, times.half[index]!, profile, first, last)
            return together > 0 && isBroken(breaks, profile.time[first]!, profile.time[last]!) ? -1 : together
          }
        : undefined,
    parts:
      kind === LOAD
        ? (row, event) => {
            const [one, two] = [indices[row - 1]!, indices[row]!]
            const sum = o.volume[one]! + o.volume[two]!
            if (!(Math.abs(sum - profile.volume[event]!) <= 0.1 * profile.volume[event]!)) return -1
            const [early, late] = [starts[row - 1]!, starts[row]!]
            if (isBroken(breaks, early, late)) return -1
            const apart = Math.max(0, early - profile.time[event]!, profile.time[event]! - late)
            return (
              7 -
              apartPenalty(apart / 60, (times.half[two]! + profile.half[event]!) / 60, 4) +
              volumeScore(sum, profile.volume[event]!)
            )
          }
        : undefined,
  })
  settleTies(indices, times, found, score)
  fillTies(indices, times, found, profile.count, score)
  return found
}

/** Lines written at the same minute have no order of their own: they take the one that scores best. */
function settleTies(
  indices: readonly number[],
  times: CommonTimes,
  found: Alignment,
  score: (row: number, event: number) => number,
): void {
  const value = (row: number, event: number): number => (event < 0 ? 0 : score(row, event))
  for (let again = true, rounds = 0; again && rounds < 8; rounds++) {
    again = false
    for (let row = 1; row < indices.length; row++) {
      for (let other = row - 1; other >= 0; other--) {
        if (times.time[indices[row]!] !== times.time[indices[other]!]) break
        const one = found.column[row]!
        const two = found.column[other]!
        if (one === two || !isSingle(found, row) || !isSingle(found, other)) continue
        const swappedRow = value(row, two)
        const swappedOther = value(other, one)
        if ((two >= 0 && swappedRow <= 0) || (one >= 0 && swappedOther <= 0)) continue
        if (swappedRow + swappedOther <= value(row, one) + value(other, two) + 1e-9) continue
        found.column[row] = two
        found.column[other] = one
        found.score[row] = swappedRow
        found.score[other] = swappedOther
        found.length[row] = two < 0 ? 0 : 1
        found.length[other] = one < 0 ? 0 : 1
        again = true
      }
    }
  }
}

/** A line of a minute that found no place in line order may fit an event between its neighbours that nobody took. */
function fillTies(
  indices: readonly number[],
  times: CommonTimes,
  found: Alignment,
  columns: number,
  score: (row: number, event: number) => number,
): void {
  const timeOf = (row: number): number => times.time[indices[row]!]!
  for (let from = 0; from < indices.length; ) {
    let to = from
    while (to + 1 < indices.length && timeOf(to + 1) === timeOf(from)) to++
    for (let row = from; row <= to && to > from; row++) {
      if (found.column[row]! >= 0) continue
      let low = -1
      for (let other = 0; other < from; other++) low = Math.max(low, found.column[other]!)
      let high = columns
      for (let other = indices.length - 1; other > to; other--) {
        if (found.column[other]! >= 0) high = found.column[other]! - Math.max(0, found.length[other]! - 1)
      }
      let best = -1
      let most = 0
      for (let event = low + 1; event < high; event++) {
        const value = isTaken(found, event) ? 0 : score(row, event)
        if (value > most) {
          most = value
          best = event
        }
      }
      if (best < 0) continue
      found.column[row] = best
      found.length[row] = 1
      found.score[row] = most
    }
    from = to + 1
  }
}

function isTaken(found: Alignment, event: number): boolean {
  for (let row = 0; row < found.column.length; row++) {
    const last = found.column[row]!
    if (last >= event && last - Math.max(0, found.length[row]! - 1) <= event) return true
  }
  return false
}

function isSingle(found: Alignment, row: number): boolean {
  return found.length[row]! <= 1 && found.isPart[row] === 0
}

function isBroken(breaks: readonly number[], from: number, to: number): boolean {
  let low = 0
  let high = breaks.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (breaks[middle]! <= from) low = middle + 1
    else high = middle
  }
  return low < breaks.length && breaks[low]! < to
}
