import { median } from './clock-drift.ts'
import type { BlockClock } from './clock-groups.ts'
import { clockRank, type Source } from './observations.ts'

export interface Offset {
  /** Seconds late against the common clock, as reported: 0 unless the evidence is clear. */
  readonly offset: number
  readonly basis: 'tracker' | 'majority' | 'neighbours' | 'controller' | 'pair' | 'none'
}

const neighbourSeconds = 7 * 86_400
const fleetSeconds = 1.5 * 86_400
const sameSeconds = 240

/**
 * The offset of every block. Blocks that stand by tracker or majority decide for their neighbours: the same source on
 * the same aircraft within a week, else the same source on other aircraft within a day and a half.
 */
export function settleOffsets(clocks: readonly BlockClock[], sources: readonly Source[]): Offset[] {
  const known = new Map<number, BlockClock[]>()
  for (const clock of clocks) {
    if (clock.basis !== 'tracker' && clock.basis !== 'majority') continue
    const list = known.get(clock.block.source)
    if (list) list.push(clock)
    else known.set(clock.block.source, [clock])
  }
  for (const list of known.values()) list.sort((a, b) => a.block.start - b.block.start)
  const borrow = (clock: BlockClock): number => neighbourOffset(clock, known.get(clock.block.source) ?? [])

  const offsets: Offset[] = clocks.map((clock) =>
    clock.basis === 'tracker' || clock.basis === 'majority'
      ? { offset: reported(clock.offset, clock), basis: clock.basis }
      : { offset: 0, basis: 'none' },
  )
  const groups = new Map<string, number[]>()
  clocks.forEach((clock, index) => {
    if (clock.basis !== 'pair') return
    const key = `${clock.block.aircraft}/${clock.group}`
    const list = groups.get(key)
    if (list) list.push(index)
    else groups.set(key, [index])
  })
  for (const group of groups.values()) {
    const votes = group.flatMap((index) => {
      const offset = borrow(clocks[index]!)
      return Number.isNaN(offset) ? [] : [clocks[index]!.offset - offset]
    })
    const isOne = votes.length > 0 && Math.max(...votes) - Math.min(...votes) <= 2 * sameSeconds
    const first = [...group].sort(
      (a, b) =>
        clockRank(sources[clocks[a]!.block.source]!.witness) -
          clockRank(sources[clocks[b]!.block.source]!.witness) ||
        clocks[a]!.block.source - clocks[b]!.block.source ||
        a - b,
    )[0]!
    const common = isOne ? votes[0]! : clocks[first]!.offset
    const isController = sources[clocks[first]!.block.source]!.witness === 'controller'
    for (const index of group) {
      const basis = isOne ? 'neighbours' : isController ? 'controller' : 'pair'
      offsets[index] = { offset: reported(clocks[index]!.offset - common, clocks[index]!), basis }
    }
  }
  const byGroupStart = firstOfAircraft(clocks)
  clocks.forEach((clock, index) => {
    if (clock.basis !== 'alone') return
    const offset = borrow(clock)
    if (Number.isNaN(offset)) return
    const first = byGroupStart.get(clock.block.aircraft)!
    let favour = 0
    for (const hint of clock.hints) {
      const other = offsets[first + hint.other]!.offset
      if (Math.abs(hint.offset - (offset - other)) <= sameSeconds) favour += hint.score
      else if (Math.abs(hint.offset + other) <= sameSeconds) favour -= hint.score
    }
    if (favour >= 0) offsets[index] = { offset: reported(offset, clock), basis: 'neighbours' }
  })
  return offsets
}

/** Index of the first block of each aircraft: hints count from there. */
function firstOfAircraft(clocks: readonly BlockClock[]): Map<number, number> {
  const first = new Map<number, number>()
  clocks.forEach((clock, index) => {
    if (!first.has(clock.block.aircraft)) first.set(clock.block.aircraft, index)
  })
  return first
}

function neighbourOffset(clock: BlockClock, known: readonly BlockClock[]): number {
  const at = clock.block.start
  const own: { apart: number; offset: number }[] = []
  const fleet: number[] = []
  let low = 0
  let high = known.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (known[middle]!.block.start < at - neighbourSeconds) low = middle + 1
    else high = middle
  }
  for (let i = low; i < known.length && known[i]!.block.start <= at + neighbourSeconds; i++) {
    const other = known[i]!
    const apart = Math.abs(other.block.start - at)
    if (other.block.aircraft === clock.block.aircraft) own.push({ apart, offset: other.offset })
    else if (apart <= fleetSeconds) fleet.push(other.offset)
  }
  own.sort((a, b) => a.apart - b.apart || a.offset - b.offset)
  if (own.length > 0) return median(own.slice(0, 3).map((item) => item.offset))
  return fleet.length >= 2 ? median(fleet) : Number.NaN
}

/** Noise is not an offset: what rounding, truncation and scatter explain is reported as the nearest half hour. */
function reported(offset: number, clock: BlockClock): number {
  const base = 1800 * Math.round(offset / 1800)
  const rest = offset - base
  const noise = (3 * 1.25 * 1.4826 * clock.spread) / Math.sqrt(Math.max(1, clock.pairs))
  const allowed = Math.max(60, clock.block.step / 2 + 20, noise)
  if (clock.pairs < 4 || Math.abs(rest) <= allowed) return base
  return base + 30 * Math.round(rest / 30)
}
