import { dropMap, type KnownPlace, mapRows, type PlaceRow } from '../../dashboards/charts/drop-map.ts'
import { outlines } from '../../dashboards/map/outlines.ts'
import type { Asking } from './asking.ts'
import type { Block } from './block.ts'
import { chartOf } from './chart.ts'

/** The pages' map: drops, the bases they came from, and the fires they fell on. */
export async function placeMap(asking: Asking): Promise<Block[]> {
  const rowsOf = async <R>(name: string): Promise<R[]> =>
    ((await asking.ask(name))?.rows ?? []) as unknown as R[]
  const places = await rowsOf<PlaceRow>('drop-places')
  if (places.length === 0) return []
  const rows = mapRows({
    places,
    fires: await rowsOf<KnownPlace>('fires'),
    bases: await rowsOf<KnownPlace>('bases'),
    served: await rowsOf<{ fire: string; drops: number }>('gallons-by-fire'),
  })
  return [chartOf(dropMap(outlines), rows, asking.look)]
}
