import { fieldsOf, rankOf } from './fields.ts'
import { DROP, type Observations, type Source } from './observations.ts'
import { bitOf } from './says.ts'
import { nauticalMiles } from './scores.ts'

/** Bits that say on what the witnesses of a drop disagree. */
export const VOLUME = 1
export const POSITION = 2
export const FIRE = 4
/** Beside them, of drops and flights: one source tells of it in two files. */
export const TOLD_TWICE = 8

/** Which bit goes with which field of a drop. */
const fields = [
  [VOLUME, bitOf('drop', 'volume_gal')],
  [POSITION, bitOf('drop', 'latitude') | bitOf('drop', 'longitude')],
  [FIRE, bitOf('drop', 'fire_text')],
] as const

/** More than this is a disagreement: of volumes as a share and in gallons, of places in nautical miles. */
export const mostApart = { share: 0.1, gal: 50, nm: 5 }

/** Ranks of sources by whose word counts, one number per source. */
export function ranksOf(
  kind: keyof typeof fieldsOf,
  field: string,
  sources: readonly Source[],
): Float64Array {
  const order = fieldsOf[kind].find((candidate) => candidate.name === field)!.order
  return Float64Array.from(sources, (source) => rankOf(order, source.witness))
}

/**
 * On what the observations of one drop disagree with the value taken: volume by more than 10 % (and 50 gal, which
 * rounding may explain), position by more than 5 NM, another fire. What a person set is decided: nobody disagrees with it.
 */
export function disagreementsOf(
  o: Observations,
  members: readonly number[],
  summaries: readonly number[],
  byVolume: Float64Array,
  byPosition: Float64Array,
): number {
  if (o.kind[members[0]!] !== DROP) return 0
  let bits = 0
  const volume = best(o, members, o.volume, byVolume)
  const place = best(o, members, o.latitude, byPosition)
  let fire = Number.NaN
  for (const index of members) {
    if (
      volume >= 0 &&
      Math.abs(o.volume[index]! - o.volume[volume]!) >
        Math.max(mostApart.gal, mostApart.share * o.volume[volume]!)
    )
      bits |= VOLUME
    if (
      place >= 0 &&
      nauticalMiles(o.latitude[index]!, o.longitude[index]!, o.latitude[place]!, o.longitude[place]!) >
        mostApart.nm
    )
      bits |= POSITION
  }
  for (const list of [members, summaries]) {
    for (const index of list) {
      const named = o.fire[index]!
      if (Number.isNaN(named)) continue
      if (!Number.isNaN(fire) && named !== fire) bits |= FIRE
      fire = named
    }
  }
  let decided = 0
  for (const index of members) decided |= o.set[index]!
  for (const index of summaries) decided |= o.set[index]!
  if (decided === 0) return bits
  return fields.reduce((left, [bit, field]) => ((decided & field) === 0 ? left : left & ~bit), bits)
}

function best(o: Observations, members: readonly number[], said: Float64Array, rank: Float64Array): number {
  let found = -1
  for (const index of members) {
    if (Number.isNaN(said[index]!)) continue
    if (found < 0 || rank[o.source[index]!]! < rank[o.source[found]!]!) found = index
  }
  return found
}
