/** What an alignment needs to know: scores of pairing row (observation) and column (event), above 0 where it pays. */
export interface AlignmentTask {
  readonly rows: number
  readonly columns: number
  /** Columns that a row may pair with, `low[row]` to `high[row]` inclusive; both never decrease. */
  readonly low: readonly number[]
  readonly high: readonly number[]
  /** So many columns one row may stand for, at most; 1: it may not. */
  readonly longestRun: number
  /** May two rows be parts of one column? */
  readonly mayPart: boolean
  score(row: number, column: number): number
  /** Score of one row standing for the columns `first` to `last` together. */
  run(row: number, first: number, last: number): number
  /** Score of `row - 1` and `row` being two parts of one column. */
  parts(row: number, column: number): number
}

/** Per row: its column (the last one of a run) or -1, and how many columns it stands for. */
export interface Alignment {
  readonly column: number[]
  readonly length: number[]
  /** Where the row and another beside it are two parts of one column. */
  readonly isPart: boolean[]
  readonly total: number
}

const SKIP_COLUMN = 0
const SKIP_ROW = 1
const PAIR = 2
const PARTS = 100

// Working space, kept between calls: alignments are many and small. Row r keeps columns low-1 … high from `base[r]` on;
// `before[r]` is the row before it that may pair with any, -1 for none.
let base = new Int32Array(256)
let before = new Int32Array(256)
let best = new Float64Array(4096)
let choice = new Uint8Array(4096)

/**
 * Best order-preserving pairing of rows with columns: each at most once, unpaired ones cost nothing.
 * Dynamic programme over the band; rows × band width in time and memory.
 */
export function align(task: AlignmentTask): Alignment {
  const last = makeRoom(task)
  if (last < 0) return trace(task, 0)
  for (let row = 0; row <= last; row++) if (task.low[row]! <= task.high[row]!) fillRow(task, row)
  return trace(task, bestOf(task, last, task.columns - 1))
}

/** Room for every row's band. Returns the last row that may pair with any column, -1 for none. */
function makeRoom({ rows, low, high }: AlignmentTask): number {
  if (rows > base.length) {
    base = new Int32Array(2 * rows)
    before = new Int32Array(2 * rows)
  }
  let size = 0
  let last = -1
  for (let row = 0; row < rows; row++) {
    base[row] = size
    before[row] = last
    if (low[row]! > high[row]!) continue
    size += high[row]! - low[row]! + 2
    last = row
  }
  if (size > best.length) {
    best = new Float64Array(2 * size)
    choice = new Uint8Array(2 * size)
  }
  return last
}

/** The best of the rows up to one and the columns up to one, none before its band; beyond the band it stays what it was. */
function bestOf({ low, high }: AlignmentTask, row: number, upTo: number): number {
  return row < 0 ? 0 : best[base[row]! - low[row]! + 1 + Math.min(upTo, high[row]!)]!
}

function fillRow(task: AlignmentTask, row: number): void {
  const { longestRun, mayPart } = task
  const low = task.low[row]!
  const high = task.high[row]!
  const from = base[row]! - low + 1
  // The row above, whose band is asked for again and again.
  const above = before[row]!
  const end = above < 0 ? -1 : task.high[above]!
  const origin = above < 0 ? 0 : base[above]! - task.low[above]! + 1
  const values = best
  let beside = above < 0 ? 0 : values[origin + Math.min(low - 1, end)]!
  values[from + low - 1] = beside
  choice[from + low - 1] = SKIP_ROW
  for (let c = low; c <= high; c++) {
    let top = above < 0 ? 0 : values[origin + Math.min(c, end)]!
    let chosen = SKIP_ROW
    if (beside > top) {
      top = beside
      chosen = SKIP_COLUMN
    }
    const single = task.score(row, c)
    if (single > 0) {
      const value = (above < 0 ? 0 : values[origin + Math.min(c - 1, end)]!) + single
      if (value > top) {
        top = value
        chosen = PAIR
      }
    }
    for (let k = 2; k <= longestRun && c - k + 1 >= low; k++) {
      const together = task.run(row, c - k + 1, c)
      if (together <= 0) continue
      const value = (above < 0 ? 0 : values[origin + Math.min(c - k, end)]!) + together
      if (value > top) {
        top = value
        chosen = PAIR + k - 1
      }
    }
    if (mayPart && row > 0) {
      const together = task.parts(row, c)
      if (together > 0) {
        const value = bestOf(task, above === row - 1 ? before[above]! : above, c - 1) + together
        if (value > top) {
          top = value
          chosen = PARTS
        }
      }
    }
    values[from + c] = top
    beside = top
    choice[from + c] = chosen
  }
}

/** The choices that led to the best, from the last row back. */
function trace({ rows, columns, low, high }: AlignmentTask, total: number): Alignment {
  const column = new Array<number>(rows).fill(-1)
  const length = new Array<number>(rows).fill(0)
  const isPart = new Array<boolean>(rows).fill(false)
  let row = rows - 1
  let c = columns - 1
  while (row >= 0 && c >= 0) {
    if (high[row]! < low[row]! || c < low[row]!) {
      row--
      continue
    }
    c = Math.min(c, high[row]!)
    const chosen = choice[base[row]! + c - low[row]! + 1]!
    if (chosen === SKIP_ROW) row--
    else if (chosen === SKIP_COLUMN) c--
    else if (chosen === PARTS) {
      for (const part of [row, row - 1]) {
        column[part] = c
        length[part] = 1
        isPart[part] = true
      }
      row -= 2
      c--
    } else {
      const k = chosen - PAIR + 1
      column[row] = c
      length[row] = k
      row--
      c -= k
    }
  }
  return { column, length, isPart, total }
}

/** The band of columns whose time lies within `reach` of each row's time; both ascend. */
export function bandWithin(
  rows: number,
  rowTimes: Float64Array,
  columns: number,
  columnTimes: Float64Array,
  reach: number,
): { low: number[]; high: number[] } {
  const low = new Array<number>(rows)
  const high = new Array<number>(rows)
  let first = 0
  let last = -1
  for (let row = 0; row < rows; row++) {
    while (first < columns && columnTimes[first]! < rowTimes[row]! - reach) first++
    while (last + 1 < columns && columnTimes[last + 1]! <= rowTimes[row]! + reach) last++
    low[row] = first
    high[row] = last
  }
  return { low, high }
}
