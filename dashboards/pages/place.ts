import type { MultiLineString } from 'geojson'
import { dropMap, type KnownPlace, mapRows, type PlaceRow } from '../charts/drop-map.ts'
import type { Context } from '../context.ts'
import type { Child } from '../h.ts'
import { chartFigure } from '../parts/figure.ts'
import { empty } from '../parts/states.ts'

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
  return chartFigure(dropMap(lines), mapRows({ places, fires, bases, served }), context)
}
