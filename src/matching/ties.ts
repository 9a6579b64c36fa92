import type { Alignment } from './alignment.ts'

/** Lines in the order in which they are written, and how well each fits an event. */
interface Written {
  readonly rows: number
  /** Seconds, one per row. */
  readonly written: Float64Array
  readonly columns: number
  score(row: number, event: number): number
}

/** What lines that stand out of order must gain by it, for each length of `near` that they lie apart. */
const disorderCost = 1.5
/** What lines of one time must gain by standing otherwise than they are written. */
const sameTimeCost = 1

/**
 * Of lines written at the same minute their place in the file tells little of their order, and of lines written within
 * `near` seconds of each other their times: where another order scores clearly better they take that.
 */
export function settleTies(lines: Written, found: Alignment, near: number): void {
  const times = lines.written
  for (let again = true, rounds = 0; again && rounds < 8; rounds++) {
    again = false
    for (let row = 1; row < lines.rows; row++) {
      for (let other = row - 1; other >= 0; other--) {
        const apart = times[row]! - times[other]!
        if (apart > near) break
        const one = found.column[row]!
        const two = found.column[other]!
        if (one === two || !isSingle(found, row) || !isSingle(found, other)) continue
        const swappedRow = fitOf(lines, row, two)
        if (two >= 0 && swappedRow <= 0) continue
        const swappedOther = fitOf(lines, other, one)
        if (one >= 0 && swappedOther <= 0) continue
        const gain = swappedRow + swappedOther - fitOf(lines, row, one) - fitOf(lines, other, two)
        if (gain <= costOf(apart, near) + 1e-9) continue
        found.column[row] = two
        found.column[other] = one
        found.length[row] = two < 0 ? 0 : 1
        found.length[other] = one < 0 ? 0 : 1
        again = true
      }
    }
  }
}

/** A line that found no place in line order may fit an event that nobody took, between the neighbours that are not near. */
export function fillTies(lines: Written, found: Alignment, near: number): void {
  const times = lines.written
  for (let row = 0; row < lines.rows; row++) {
    if (found.column[row]! >= 0) continue
    let [from, to] = [row, row]
    while (from > 0 && times[row]! - times[from - 1]! <= near) from--
    while (to + 1 < lines.rows && times[to + 1]! - times[row]! <= near) to++
    if (from === to) continue
    let low = -1
    for (let other = 0; other < from; other++) low = Math.max(low, found.column[other]!)
    let high = lines.columns
    for (let other = lines.rows - 1; other > to; other--) {
      if (found.column[other]! >= 0) high = found.column[other]! - Math.max(0, found.length[other]! - 1)
    }
    let best = -1
    let most = 0
    for (let event = low + 1; event < high; event++) {
      if (isTaken(found, event)) continue
      const value = lines.score(row, event) - costOf(disorderOf(times, found, row, event, from, to), near)
      if (value > most) {
        most = value
        best = event
      }
    }
    if (best < 0) continue
    found.column[row] = best
    found.length[row] = 1
  }
}

/** How far apart the farthest two lines are written that would stand out of order, seconds. */
function disorderOf(
  times: Float64Array,
  found: Alignment,
  row: number,
  event: number,
  from: number,
  to: number,
): number {
  let most = 0
  for (let other = from; other <= to; other++) {
    const taken = found.column[other]!
    if (taken < 0 || other < row === taken < event) continue
    most = Math.max(most, Math.abs(times[row]! - times[other]!))
  }
  return most
}

function fitOf(lines: Written, row: number, event: number): number {
  return event < 0 ? 0 : lines.score(row, event)
}

function costOf(apart: number, near: number): number {
  return apart === 0 ? sameTimeCost : 0.5 + (disorderCost * apart) / near
}

function isTaken(found: Alignment, event: number): boolean {
  for (let row = 0; row < found.column.length; row++) {
    const last = found.column[row]!
    if (last >= event && last - Math.max(0, found.length[row]! - 1) <= event) return true
  }
  return false
}

function isSingle(found: Alignment, row: number): boolean {
  return found.length[row]! <= 1 && !found.isPart[row]
}
