import { Profile } from './profile.ts'
import type { Scene } from './scene.ts'
import { halfGalOf, placeStrand, type Strand } from './strand.ts'

/**
 * One segment's events of one kind from all sources at once: strands join one after another, finest clocks
 * first, each aligned against everything told so far: the order of events is then that of the finest clock that told of
 * them, which rounded times would disturb.
 */
export function joinStrands(scene: Scene, strands: readonly Strand[]): Profile {
  const profile = new Profile()
  for (const strand of strands) addStrand(scene, profile, strand)
  return profile
}

function addStrand(scene: Scene, profile: Profile, strand: Strand): void {
  const { o } = scene
  const { indices } = strand
  const halfGal = halfGalOf(scene, strand)
  if (profile.count === 0) {
    for (const index of indices) insert(scene, profile, index, halfGal)
    return
  }
  const found = placeStrand(scene, profile, strand, halfGal)
  indices.forEach((index, row) => {
    const last = found.column[row]!
    if (last < 0) return
    const length = found.length[row]!
    if (length === 1) profile.join(o, last, index, halfGal)
    else for (let event = last - length + 1; event <= last; event++) profile.stand(event, index)
  })
  indices.forEach((index, row) => {
    if (found.column[row]! < 0) insert(scene, profile, index, halfGal)
  })
}

function insert({ o, times }: Scene, profile: Profile, index: number, halfGal: number): void {
  profile.insert(o, index, times.time[index]!, times.end[index]!, times.half[index]!, halfGal)
}
