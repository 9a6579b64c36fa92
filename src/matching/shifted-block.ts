import { type AlignmentTask, bandWithin } from './alignment.ts'
import type { Block } from './blocks.ts'
import type { EventColumns } from './event-columns.ts'
import { FLIGHT, type Observations } from './observations.ts'
import { flightReachSeconds, pairScore } from './scores.ts'

const flightReach = flightReachSeconds / 3
const reach = 20 * 60
/** Working space, kept between calls: blocks are many and small, and aligned one at a time. */
let starts = new Float64Array(64)

/**
 * What a block tells of one kind beside the events of another, as if its clock read so many seconds late: what is aligned,
 * before the next one is made.
 */
export class ShiftedBlock implements AlignmentTask {
  readonly rows: number
  readonly columns: number
  readonly low: readonly number[]
  readonly high: readonly number[]
  readonly longestRun = 1
  readonly mayPart = false
  readonly #o: Observations
  readonly #indices: readonly number[]
  readonly #offset: number
  readonly #half: number
  readonly #events: EventColumns

  constructor(o: Observations, { byKind, steps }: Block, kind: number, offset: number, events: EventColumns) {
    const indices = byKind[kind]!
    this.rows = indices.length
    this.columns = events.count
    this.#o = o
    this.#indices = indices
    this.#offset = offset
    this.#half = steps[kind]! / 2
    this.#events = events
    if (indices.length > starts.length) starts = new Float64Array(2 * indices.length)
    for (let row = 0; row < indices.length; row++) starts[row] = o.start[indices[row]!]! - offset
    const within = kind === FLIGHT ? flightReach : reach
    const { low, high } = bandWithin(this.rows, starts, events.count, events.time, within)
    this.low = low
    this.high = high
  }

  score(row: number, event: number): number {
    const index = this.#indices[row]!
    const end = this.#o.end[index]! - this.#offset
    return pairScore(this.#o, index, starts[row]!, end, this.#half, this.#events, event)
  }

  run(): number {
    return 0
  }

  parts(): number {
    return 0
  }
}
