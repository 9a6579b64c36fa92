import { fieldsOf, rankOf } from './fields.ts'
import { eventKinds, type Observations, type Source } from './observations.ts'
import { bitOf } from './says.ts'

/** Fields that go by one order of witnesses: their bits, and the rank of each source. */
interface Order {
  readonly bits: number
  readonly ranks: Float64Array
}

/** Who gives which field of a canonical record: each field one observation, by precedence; what a person set goes first. */
export class Gives {
  /** Bits that the observations of the event asked for last give: its members, then its summaries. */
  readonly bits: number[] = []
  readonly #o: Observations
  readonly #orders: readonly (readonly Order[])[]
  /** Bits that a line which stands for several events may give. */
  readonly #fromSummary: readonly number[]

  constructor(o: Observations, sources: readonly Source[]) {
    this.#o = o
    this.#orders = eventKinds.map((kind) => {
      const bits = new Map<string, number>()
      for (const field of fieldsOf[kind]) {
        const key = field.order.join()
        bits.set(key, (bits.get(key) ?? 0) | bitOf(kind, field.name))
      }
      const orders = [...bits].map(([order, bits]) => ({
        bits,
        ranks: Float64Array.from(sources, (source) => rankOf(order.split(','), source.witness)),
      }))
      const all = orders.reduce((sum, order) => sum | order.bits, 0)
      return [...orders, { bits: ~all, ranks: new Float64Array(sources.length) }]
    })
    this.#fromSummary = eventKinds.map((kind) =>
      fieldsOf[kind].reduce(
        (bits, field) => (field.fromSummary ? bits : bits & ~bitOf(kind, field.name)),
        -1,
      ),
    )
  }

  /** Settles who gives what of one event; the observations in the order of their places. */
  settle(kind: number, members: readonly number[], summaries: readonly number[]): void {
    const { bits } = this
    const { says, set } = this.#o
    const count = members.length + summaries.length
    bits.length = count
    if (count === 1) {
      bits[0] = says[members[0]!]!
      return
    }
    bits.fill(0)
    for (const order of this.#orders[kind]!) {
      let open = order.bits
      for (let place = 0; place < count; place++) {
        const index = place < members.length ? members[place]! : summaries[place - members.length]!
        if (set[index] !== 0) open = this.#give(kind, place, index, open, set[index]!, members.length)
      }
      let rank = Number.NEGATIVE_INFINITY
      while (open !== 0) {
        let next = Number.POSITIVE_INFINITY
        for (let place = 0; place < count; place++) {
          const index = place < members.length ? members[place]! : summaries[place - members.length]!
          const own = order.ranks[this.#o.source[index]!]!
          if (own === rank) open = this.#give(kind, place, index, open, says[index]!, members.length)
          else if (own > rank && own < next) next = own
        }
        if (next === Number.POSITIVE_INFINITY) break
        rank = next
      }
    }
  }

  /** Gives what the observation says of the fields still open, as far as it is asked; returns those open after it. */
  #give(kind: number, place: number, index: number, open: number, asked: number, members: number): number {
    const may = place < members ? -1 : this.#fromSummary[kind]!
    const given = open & asked & this.#o.says[index]! & may
    this.bits[place]! |= given
    return open & ~given
  }
}
