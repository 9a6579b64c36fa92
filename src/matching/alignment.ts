/** What an alignment needs to know: scores of pairing row (observation) and column (event), above 0 where it pays. */
export interface AlignmentTask {
  readonly rows: number
  readonly columns: number
  /** Columns that a row may pair with, `low[row]` to `high[row]` inclusive; both never decrease. */
  readonly low: Int32Array
  readonly high: Int32Array
  score(row: number, column: number): number
  /** Score of one row standing for the columns `first` to `last` together. */
  run?(row: number, first: number, last: number): number
  readonly longestRun?: number
  /** Score of `row - 1` and `row` being two parts of one column. */
  parts?(row: number, column: number): number
}

/** Per row: its column (the last one of a run) or -1, how many columns it stands for, and its score. */
export interface Alignment {
  readonly column: Int32Array
  readonly length: Int32Array
  /** 1 where the row and the one before it are two parts of one column. */
  readonly isPart: Uint8Array
  readonly score: Float64Array
  readonly total: number
}

const SKIP_COLUMN = 0
const SKIP_ROW = 1
const PAIR = 2
const PARTS = 100

// Working space, kept between calls: alignments are many and small.
let best = new Float64Array(4096)
let gain = new Float64Array(4096)
let choice = new Uint8Array(4096)

/**
 * Best order-preserving pairing of rows with columns: each at most once, unpaired ones cost nothing.
 * Dynamic programme over the band; rows × band width in time and memory.
 */
export function align(task: AlignmentTask): Alignment {
  const { rows, columns, low, high } = task
  const longest = task.longestRun ?? 1
  const column = new Int32Array(rows).fill(-1)
  const length = new Int32Array(rows)
  const isPart = new Uint8Array(rows)
  const score = new Float64Array(rows)
  if (rows === 0 || columns === 0) return { column, length, isPart, score, total: 0 }

  // Row r keeps columns low-1 … high at `base[r]`; beyond its band the best value stays what it was.
  const base = new Int32Array(rows)
  let size = 0
  for (let row = 0; row < rows; row++) {
    base[row] = size
    size += Math.max(0, high[row]! - low[row]! + 2)
  }
  if (size > best.length) {
    best = new Float64Array(2 * size)
    gain = new Float64Array(2 * size)
    choice = new Uint8Array(2 * size)
  }

  const at = (row: number, upTo: number): number => {
    for (let r = row; r >= 0; r--) {
      if (high[r]! < low[r]!) continue
      const first = low[r]! - 1
      if (upTo < first) continue
      return best[base[r]! + Math.min(upTo, high[r]!) - first]!
    }
    return 0
  }

  for (let row = 0; row < rows; row++) {
    if (high[row]! < low[row]!) continue
    const first = low[row]! - 1
    const from = base[row]!
    best[from] = at(row - 1, first)
    choice[from] = SKIP_ROW
    for (let c = low[row]!; c <= high[row]!; c++) {
      const cell = from + c - first
      let top = at(row - 1, c)
      let chosen = SKIP_ROW
      let won = 0
      if (best[cell - 1]! > top) {
        top = best[cell - 1]!
        chosen = SKIP_COLUMN
      }
      const single = task.score(row, c)
      if (single > 0) {
        const value = at(row - 1, c - 1) + single
        if (value > top) {
          top = value
          chosen = PAIR
          won = single
        }
      }
      if (task.run) {
        for (let k = 2; k <= longest && c - k + 1 >= low[row]!; k++) {
          const together = task.run(row, c - k + 1, c)
          if (together <= 0) continue
          const value = at(row - 1, c - k) + together
          if (value > top) {
            top = value
            chosen = PAIR + k - 1
            won = together
          }
        }
      }
      if (task.parts && row > 0) {
        const together = task.parts(row, c)
        if (together > 0) {
          const value = at(row - 2, c - 1) + together
          if (value > top) {
            top = value
            chosen = PARTS
            won = together
          }
        }
      }
      best[cell] = top
      choice[cell] = chosen
      gain[cell] = won
    }
  }

  let row = rows - 1
  let c = columns - 1
  const total = at(row, c)
  while (row >= 0 && c >= 0) {
    if (high[row]! < low[row]! || c < low[row]!) {
      row--
      continue
    }
    c = Math.min(c, high[row]!)
    const cell = base[row]! + c - low[row]! + 1
    const chosen = choice[cell]!
    if (chosen === SKIP_ROW) row--
    else if (chosen === SKIP_COLUMN) c--
    else if (chosen === PARTS) {
      for (const part of [row, row - 1]) {
        column[part] = c
        length[part] = 1
        score[part] = gain[cell]! / 2
      }
      isPart[row] = 1
      isPart[row - 1] = 1
      row -= 2
      c--
    } else {
      const k = chosen - PAIR + 1
      column[row] = c
      length[row] = k
      score[row] = gain[cell]!
      row--
      c -= k
    }
  }
  return { column, length, isPart, score, total }
}

/** The band of columns whose time lies within `reach` of each row's time; both time lists ascend. */
export function bandWithin(
  rowTimes: ArrayLike<number>,
  columnTimes: ArrayLike<number>,
  reach: number,
): { low: Int32Array; high: Int32Array } {
  const low = new Int32Array(rowTimes.length)
  const high = new Int32Array(rowTimes.length)
  let first = 0
  let last = -1
  for (let row = 0; row < rowTimes.length; row++) {
    while (first < columnTimes.length && columnTimes[first]! < rowTimes[row]! - reach) first++
    while (last + 1 < columnTimes.length && columnTimes[last + 1]! <= rowTimes[row]! + reach) last++
    low[row] = first
    high[row] = last
  }
  return { low, high }
}
