import type { Columns } from '../warehouse/index.ts'

/** One trace: samples `from` up to `to` of the columns, and what they say besides the level. */
export interface TracePart {
  from: number
  to: number
  groundspeed_kt: number
  height_ft: number
  door_open_s: number
  door_full_s: number
  door_peak_pct: number
}

/** Backwards by more than this, s, and the samples belong to the next trace of that record number. */
const backwards_s = 1

/**
 * Cuts samples, ordered by key and line, into traces: consecutive lines of one aircraft and record until the time goes back. Samples of a
 * trace are put in order of time, in place. Figures that no sample gives are NaN.
 */
export function cutTraces(samples: Columns): TracePart[] {
  const key = samples.numbers('key_no')
  const t = samples.numbers('t_s')
  const parts: TracePart[] = []
  for (let from = 0; from < samples.count; ) {
    let to = from + 1
    let isOrdered = true
    while (to < samples.count && key[to] === key[from] && t[to]! + backwards_s >= t[to - 1]!) {
      if (t[to]! < t[to - 1]!) isOrdered = false
      to++
    }
    if (!isOrdered) orderByTime(samples, from, to)
    parts.push({ from, to, ...besides(samples, from, to) })
    from = to
  }
  return parts
}

const moved = ['t_s', 'level_gal', 'groundspeed_kt', 'height_ft', 'door_pct'] as const

function orderByTime(samples: Columns, from: number, to: number): void {
  const t = samples.numbers('t_s')
  const order = Array.from({ length: to - from }, (_, i) => from + i).sort((a, b) => t[a]! - t[b]! || a - b)
  for (const name of moved) {
    const column = samples.numbers(name)
    column.set(
      order.map((i) => column[i]!),
      from,
    )
  }
}

function besides(samples: Columns, from: number, to: number): Omit<TracePart, 'from' | 'to'> {
  const t = samples.numbers('t_s')
  const door = samples.numbers('door_pct')
  let [open, full, peak] = [Number.NaN, Number.NaN, Number.NaN]
  for (let i = from; i < to; i++) {
    const width = door[i]!
    if (Number.isNaN(width)) continue
    if (!(width <= peak)) peak = width
    if (width >= 5 && Number.isNaN(open)) open = t[i]!
    if (width >= 90 && Number.isNaN(full)) full = t[i]!
  }
  return {
    groundspeed_kt: meanOfKnown(samples.numbers('groundspeed_kt'), from, to),
    height_ft: meanOfKnown(samples.numbers('height_ft'), from, to),
    door_open_s: open,
    door_full_s: full,
    door_peak_pct: peak,
  }
}

function meanOfKnown(column: Float64Array, from: number, to: number): number {
  let sum = 0
  let count = 0
  for (let i = from; i < to; i++) {
    if (Number.isNaN(column[i]!)) continue
    sum += column[i]!
    count++
  }
  return sum / count
}
