import type { MultiLineString } from 'geojson'
import { dropMap, type MapRow } from '../charts/drop-map.ts'
import type { Context } from '../context.ts'
import type { Child } from '../h.ts'
import { chartFigure } from '../parts/figure.ts'
import { timeText } from '../times.ts'
import type { DropRow } from './days.ts'

interface Place {
  base?: string
  code?: string
  fire?: string
  number?: string
  name: string | null
  latitude: number | null
  longitude: number | null
}

let outlines: Promise<MultiLineString> | null = null

/** The map of what the filters leave: outlines are fetched once, with the first map. */
export async function placeMap(context: Context): Promise<Child> {
  outlines ??= import('../map/outlines.ts').then((module) => module.outlines)
  const [lines, drops, bases, fires] = await Promise.all([
    outlines,
    context.query<DropRow>('drops'),
    context.maybe<Place>('bases'),
    context.maybe<Place>('fires'),
  ])
  const seen = new Set(drops.map((drop) => drop.fire))
  const used = new Set(drops.map((drop) => drop.base))
  const fireRows =
    fires?.map((fire): MapRow => mark('fire', fire.fire ?? fire.number ?? '', fire)) ?? centres(drops, 'fire')
  const rows: MapRow[] = [
    ...drops
      .filter((drop) => drop.purpose === 'fire')
      .map(
        (drop): MapRow => ({
          what: 'drop',
          id: drop.drop,
          label: `${drop.aircraft} ${timeText(drop.dropped_at, context.address.zone)}`,
          latitude: drop.latitude,
          longitude: drop.longitude,
          volume_gal: drop.volume_gal,
          fluid: drop.fluid,
        }),
      ),
    ...fireRows.filter((row) => seen.has(row.id)),
    ...(bases?.map((base): MapRow => mark('base', base.base ?? base.code ?? '', base)) ?? []).filter((row) =>
      used.has(row.id),
    ),
  ]
  return chartFigure(dropMap(lines), rows, context)
}

const mark = (what: 'base' | 'fire', id: string, place: Place): MapRow => ({
  what,
  id,
  label: what === 'base' ? id : (place.name ?? id),
  latitude: place.latitude,
  longitude: place.longitude,
  volume_gal: null,
  fluid: null,
})

/** Where no register of fires is at hand, the middle of each fire's drops. */
function centres(drops: readonly DropRow[], what: 'fire'): MapRow[] {
  const groups = new Map<string, DropRow[]>()
  for (const drop of drops) {
    if (!drop.fire || drop.fire === 'unattributed' || drop.latitude === null || drop.longitude === null)
      continue
    groups.set(drop.fire, [...(groups.get(drop.fire) ?? []), drop])
  }
  const mean = (list: number[]): number => list.reduce((sum, value) => sum + value, 0) / list.length
  return [...groups].map(([id, list]) => ({
    what,
    id,
    label: id,
    latitude: mean(list.map((drop) => drop.latitude!)),
    longitude: mean(list.map((drop) => drop.longitude!)),
    volume_gal: null,
    fluid: null,
  }))
}
