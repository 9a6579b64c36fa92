import { purposes, type Witness } from '../kinds/index.ts'
import { DROP, eventKinds, LOAD, type Observations, type Source } from './observations.ts'
import { bitOf, openEndedBit } from './says.ts'

/** Bits of what is so of a canonical record when all who tell of it are heard. */
export const OPEN_ENDED = 1
export const EMERGENCY_RELEASE = 2
export const MEASURED = 4
/** The controller's emergency stands against the purpose that precedence names. */
export const EMERGENCY_STANDS = 8

/** One bit per witness, in alphabetical order. */
export const witnessNames = ['controller', 'crew', 'dispatch', 'manual', 'ticket', 'tracker'] as const
export const witnessBit = (witness: Witness): number => 1 << witnessNames.indexOf(witness)

const volumeBit = eventKinds.map((kind) => (kind === 'flight' ? 0 : bitOf(kind, 'volume_gal')))
const purposeBit = bitOf('drop', 'purpose')
const emergency = purposes.indexOf('emergency')
/** A crew's word against an emergency counts where it names one of these; a person's always. */
const plain: readonly number[] = (['fire', 'training', 'ground-test'] as const).map((purpose) =>
  purposes.indexOf(purpose),
)

/** Says of events what no single observation gives. */
export class Marks {
  readonly #o: Observations
  readonly #bits: Int32Array

  constructor(o: Observations, sources: readonly Source[]) {
    this.#o = o
    this.#bits = Int32Array.from(sources, ({ witness }) => Math.max(0, witnessBit(witness as Witness)))
  }

  /** The witnesses of an event, as bits. */
  witnessesOf(members: readonly number[], summaries: readonly number[]): number {
    let bits = 0
    for (const index of members) bits |= this.#witness(index)
    for (const index of summaries) bits |= this.#witness(index)
    return bits
  }

  /** The marks of a drop. @param gives what each of its observations gives, members first */
  of(
    kind: number,
    members: readonly number[],
    summaries: readonly number[],
    gives: readonly number[],
  ): number {
    if (kind !== DROP) return 0
    let marks = 0
    let stands = false
    for (let place = 0; place < gives.length; place++) {
      const index = place < members.length ? members[place]! : summaries[place - members.length]!
      const says = this.#o.says[index]!
      const purpose = this.#o.purpose[index]!
      if ((says & openEndedBit) !== 0) marks |= OPEN_ENDED
      if (this.#witness(index) === witnessBit('controller')) {
        if (purpose === emergency) marks |= EMERGENCY_RELEASE
        if ((says & volumeBit[DROP]!) !== 0) marks |= MEASURED
      }
      if ((gives[place]! & purposeBit) !== 0)
        stands =
          this.#witness(index) === witnessBit('manual') ||
          (this.#o.set[index]! & purposeBit) !== 0 ||
          (this.#witness(index) === witnessBit('crew') && plain.includes(purpose))
    }
    return (marks & EMERGENCY_RELEASE) !== 0 && !stands ? marks | EMERGENCY_STANDS : marks
  }

  /** Gallons that an observation says itself; NaN where it says none, or a gauge only implies them. */
  gallonsOf(kind: number, index: number): number {
    return (this.#o.says[index]! & volumeBit[kind]!) === 0 ? Number.NaN : this.#o.volume[index]!
  }

  /**
   * Gallons that the parts of one fill add up to, where one of them gives the volume, and what the tickets add up to: all
   * that are parts, or else the first. NaN where there is no such sum.
   * @param gives what each observation gives @param isPart of each
   */
  sumsOf(
    members: readonly number[],
    gives: readonly number[],
    isPart: readonly boolean[],
  ): { parts: number; tickets: number } {
    let [parts, tickets] = [Number.NaN, Number.NaN]
    let isOfParts = false
    let isFirst = true
    members.forEach((index, place) => {
      const gallons = this.gallonsOf(LOAD, index)
      if (isPart[place] && (gives[place]! & volumeBit[LOAD]!) !== 0) isOfParts = true
      if (isPart[place]) parts = plus(parts, gallons)
      if (this.#witness(index) !== witnessBit('ticket')) return
      if (isPart[place] || isFirst) tickets = plus(tickets, gallons)
      isFirst = false
    })
    return { parts: isOfParts ? parts : Number.NaN, tickets }
  }

  #witness(index: number): number {
    return this.#bits[this.#o.source[index]!]!
  }
}

function plus(sum: number, more: number): number {
  if (Number.isNaN(more)) return sum
  return Number.isNaN(sum) ? more : sum + more
}
