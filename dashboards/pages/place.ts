import type { MultiLineString } from 'geojson'
import { dropMap, type MapRow } from '../charts/drop-map.ts'
import type { Context } from '../context.ts'
import type { Child } from '../h.ts'
import { chartFigure } from '../parts/figure.ts'
import { empty } from '../parts/states.ts'

interface PlaceRow {
  latitude: number | null
  longitude: number | null
  fluid: string | null
  drops: number
  gallons: number | null
  drop: string
  aircraft: string
  dropped_at: string
  fire: string | null
}
interface KnownPlace {
  fire?: string
  base?: string
  name: string | null
  latitude: number | null
  longitude: number | null
}

let outlines: Promise<MultiLineString> | null = null

/** The map of what the filters leave. The outlines are fetched once, with the first map. */
export async function placeMap(context: Context): Promise<Child> {
  outlines ??= import('../map/outlines.ts').then((module) => module.outlines)
  const [lines, places, fires, bases, served] = await Promise.all([
    outlines,
    context.query<PlaceRow>('drop-places'),
    // Names and positions of places are the same whatever is chosen: they narrow nothing.
    context.api.query<KnownPlace>('fires', {}),
    context.api.query<KnownPlace>('bases', {}),
    context.query<{ fire: string; drops: number }>('gallons-by-fire'),
  ])
  if (!places.length) return empty('No drop in this selection.')
  const isServed = new Set(served.filter((row) => row.drops > 0).map((row) => row.fire))
  const rows: MapRow[] = [
    ...places.map(dropMark),
    ...fires
      .filter((fire) => isServed.has(fire.fire ?? ''))
      .map((fire) => mark('fire', fire.fire ?? '', fire)),
    ...bases.map((base) => mark('base', base.base ?? '', base)),
  ]
  return chartFigure(dropMap(lines), rows, context)
}

const dropMark = (place: PlaceRow): MapRow => ({
  what: 'drop',
  id: place.drop,
  label:
    place.drops === 1
      ? `${place.aircraft} ${place.dropped_at.slice(0, 16).replace('T', ' ')} UTC`
      : `${place.drops} drops`,
  latitude: place.latitude,
  longitude: place.longitude,
  drops: place.drops,
  volume_gal: place.gallons,
  fluid: place.fluid,
})

const mark = (what: 'base' | 'fire', id: string, place: KnownPlace): MapRow => ({
  what,
  id,
  label: what === 'base' ? id : (place.name ?? id),
  latitude: place.latitude,
  longitude: place.longitude,
  drops: null,
  volume_gal: null,
  fluid: null,
})
