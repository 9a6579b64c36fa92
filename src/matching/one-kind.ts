import type { Strand } from './lines.ts'
import type { Profile } from './profile.ts'
import type { Scene } from './scene.ts'
import { halfGalOf, placeStrand } from './strand.ts'

/**
 * Fills a profile with one segment's events of one kind from all sources at once: strands join one after another, finest clocks
 * first, each aligned against everything told so far: the order of events is then that of the finest clock that told of
 * them, which rounded times would disturb.
 */
export function joinStrands(scene: Scene, strands: readonly Strand[], profile: Profile): void {
  profile.clear()
  for (const strand of strands) addStrand(scene, profile, strand)
}

function addStrand(scene: Scene, profile: Profile, strand: Strand): void {
  const { o } = scene
  const { indices } = strand
  const halfGal = halfGalOf(scene, strand.indices)
  if (profile.count === 0) {
    for (const index of indices) insert(scene, profile, index, halfGal)
    return
  }
  const found = placeStrand(scene, profile, strand, halfGal)
  for (let row = 0; row < indices.length; row++) {
    const last = found.column[row]!
    if (last < 0) continue
    const length = found.length[row]!
    if (length === 1) profile.join(o, last, indices[row]!, halfGal)
    else for (let event = last - length + 1; event <= last; event++) profile.stand(event, indices[row]!)
  }
  for (let row = 0; row < indices.length; row++)
    if (found.column[row]! < 0) insert(scene, profile, indices[row]!, halfGal)
}

function insert({ o, times }: Scene, profile: Profile, index: number, halfGal: number): void {
  profile.insert(o, index, times.time[index]!, times.end[index]!, times.half[index]!, halfGal)
}
