import * as Plot from '@observablehq/plot'
import type { FeatureCollection, MultiLineString, Point } from 'geojson'
import { quantity } from '../units.ts'
import { type Chart, optionsOf } from './chart.ts'
import { colourKey } from './colour-key.ts'
import { fluidColours, ink, muted, paper, rule, slate } from './palette.ts'
import { draw, narrow } from './plot.ts'
import { plural } from './words.ts'

export interface MapRow {
  what: 'drop' | 'base' | 'fire'
  id: string
  label: string
  latitude: number | null
  longitude: number | null
  /** Drops at the place; null for a base or a fire. */
  drops: number | null
  volume_gal: number | null
  fluid: string | null
}

/** A place with the drops that fell there, as the records have it. */
export interface PlaceRow {
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

/** A fire or a base. */
export interface KnownPlace {
  fire?: string
  base?: string
  name: string | null
  latitude: number | null
  longitude: number | null
}

/** What the map draws: every drop, every base, and the fires that were served. */
export function mapRows(known: {
  places: readonly PlaceRow[]
  fires: readonly KnownPlace[]
  bases: readonly KnownPlace[]
  served: readonly { fire: string; drops: number }[]
}): MapRow[] {
  const isServed = new Set(known.served.filter((row) => row.drops > 0).map((row) => row.fire))
  return [
    ...known.places.map(dropMark),
    ...known.fires
      .filter((fire) => isServed.has(fire.fire ?? ''))
      .map((fire) => mark('fire', fire.fire ?? '', fire)),
    ...known.bases.map((base) => mark('base', base.base ?? '', base)),
  ]
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

interface Placed extends MapRow {
  latitude: number
  longitude: number
}

const isPlaced = (row: MapRow): row is Placed =>
  row.latitude !== null && row.longitude !== null && !(row.latitude === 0 && row.longitude === 0)

/** Drops by volume and fluid, with the bases and fires they belong to, over the outlines of the states. */
export function dropMap(outlines: MultiLineString): Chart<MapRow> {
  return {
    name: 'drop-map',
    columns: [
      { name: 'what', label: 'what' },
      { name: 'label', label: 'name' },
      { name: 'latitude', label: 'latitude', measure: 'degree' },
      { name: 'longitude', label: 'longitude', measure: 'degree' },
      { name: 'drops', label: 'drops', measure: 'count' },
      { name: 'volume_gal', label: 'volume', measure: 'volume' },
      { name: 'fluid', label: 'fluid' },
    ],
    finding(rows) {
      const drops = countOf(rows)
      const placed = countOf(rows.filter(isPlaced))
      if (!drops) return 'No drop on these days'
      return placed === drops
        ? `All ${plural(drops, 'drop')} have a position`
        : `${plural(placed, 'drop')} of ${drops.toLocaleString('en-US')} have a position; ${plural(drops - placed, 'drop')} cannot be shown`
    },
    caption: (_rows, options) =>
      `Drops (area by volume, colour by fluid), bases ▲ and fires ✕. Volumes in ${optionsOf(options).units === 'us' ? 'gal' : 'L'}; WGS 84.`,
    describe(rows) {
      const count = (what: string): number => rows.filter((row) => row.what === what && isPlaced(row)).length
      return `Map of ${plural(countOf(rows.filter(isPlaced)), 'drop')}, ${plural(count('base'), 'base')} and ${plural(count('fire'), 'fire')}.`
    },
    draw(rows, size, options) {
      const { units } = optionsOf(options)
      const placed = rows.filter(isPlaced)
      const drops = placed.filter((row) => row.what === 'drop')
      const places = placed.filter((row) => row.what !== 'drop')
      const bounds = boundsOf(placed)
      const height = size.height ?? Math.round(size.width * (narrow(size) ? 0.9 : 0.5))
      const href = options.link
        ? {
            href: (row: Placed) =>
              row.what === 'drop'
                ? options.evidence?.('drop', row.id)
                : options.link!(row.what === 'base' ? { base: row.id } : { fire: row.id }),
          }
        : {}
      return draw({ width: size.width, height }, options, {
        margin: 1,
        projection: { type: 'mercator', domain: bounds, inset: 18, clip: 'frame' },
        r: {
          range: [0, narrow(size) ? 5 : 7],
          domain: [0, drops.reduce((a, row) => Math.max(a, row.volume_gal ?? 0), 1)],
        },
        marks: [
          Plot.graticule({ stroke: rule, strokeOpacity: 0.5 }),
          Plot.geo(outlines, { stroke: muted, strokeWidth: 0.8 }),
          Plot.dot(drops, {
            x: 'longitude',
            y: 'latitude',
            r: (row: Placed) => row.volume_gal ?? 0,
            fill: (row: Placed) => fluidColours[row.fluid ?? ''] ?? slate,
            fillOpacity: 0.35,
            stroke: (row: Placed) => fluidColours[row.fluid ?? ''] ?? slate,
            strokeWidth: 0.7,
            title: (row: Placed) =>
              `${row.label}: ${quantity(row.volume_gal, 'volume', units)} of ${row.fluid ?? 'unknown fluid'}`,
            ...href,
          }),
          Plot.dot(
            places.filter((row) => row.what === 'base'),
            {
              x: 'longitude',
              y: 'latitude',
              symbol: 'triangle',
              r: 6,
              fill: ink,
              stroke: paper,
              title: 'label',
              ...href,
            },
          ),
          Plot.dot(
            places.filter((row) => row.what === 'fire'),
            {
              x: 'longitude',
              y: 'latitude',
              symbol: 'times',
              r: 3.5,
              stroke: ink,
              strokeWidth: 1.5,
              title: 'label',
              ...href,
            },
          ),
          Plot.text(labelled(places, bounds, size.width), {
            x: 'longitude',
            y: 'latitude',
            text: 'label',
            dy: -12,
            fill: ink,
            stroke: paper,
            strokeWidth: 3,
            fontSize: 11,
            fontWeight: 600,
            pointerEvents: 'none',
          }),
          ...colourKey(
            [...Object.entries(fluidColours), ['not named', slate] as const].filter(([fluid]) =>
              drops.some((row) => (fluidColours[row.fluid ?? ''] ? row.fluid : 'not named') === fluid),
            ),
            { frameAnchor: 'bottom-left', dx: 8, dy: -8 },
          ),
          Plot.frame({ stroke: rule }),
        ],
      })
    },
  }
}

const countOf = (rows: readonly MapRow[]): number => rows.reduce((sum, row) => sum + (row.drops ?? 0), 0)

/** The places whose names fit: bases first, then fires, none nearer to another than a name is wide. */
function labelled(places: readonly Placed[], bounds: FeatureCollection, width: number): Placed[] {
  const [west, east] = bounds.features.map((feature) => (feature.geometry as Point).coordinates[0]!)
  const degrees = (east! - west!) / width
  const taken: Placed[] = []
  for (const place of [...places].sort((a, b) => Number(a.what !== 'base') - Number(b.what !== 'base'))) {
    const isNear = (other: Placed): boolean =>
      Math.abs(other.longitude - place.longitude) <
        degrees * 3.6 * (other.label.length + place.label.length) &&
      Math.abs(other.latitude - place.latitude) < degrees * 12
    if (!taken.some(isNear)) taken.push(place)
  }
  return taken
}

/** The two corners that hold every place, with room around; the contiguous states when there is nothing to place. */
function boundsOf(rows: readonly Placed[]): FeatureCollection {
  const west = rows.reduce((a, row) => Math.min(a, row.longitude), rows.length ? 180 : -124)
  const east = rows.reduce((a, row) => Math.max(a, row.longitude), rows.length ? -180 : -67)
  const south = rows.reduce((a, row) => Math.min(a, row.latitude), rows.length ? 90 : 25)
  const north = rows.reduce((a, row) => Math.max(a, row.latitude), rows.length ? -90 : 49)
  const room = Math.max(0.3, (east - west) * 0.08, (north - south) * 0.08)
  const corner = (longitude: number, latitude: number) => ({
    type: 'Feature' as const,
    properties: null,
    geometry: { type: 'Point' as const, coordinates: [longitude, latitude] },
  })
  return {
    type: 'FeatureCollection',
    features: [corner(west - room, south - room), corner(east + room, north + room)],
  }
}
