/**
 * Bakes the outlines of the states for the map: `npx tsx dashboards/map/bake.ts`.
 * Source: us-atlas 3 (U.S. Census Bureau cartographic boundaries, 1:10m), thinned to about 1.5 km.
 */
import { readFileSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'

type Point = readonly [number, number]

const load = createRequire(import.meta.url)
const { mesh } = load('topojson-client') as {
  mesh(topology: object, object: object): { coordinates: Point[][] }
}
const topology = JSON.parse(readFileSync(load.resolve('us-atlas/states-10m.json'), 'utf8')) as {
  objects: { states: object }
}
const lines = mesh(topology, topology.objects.states).coordinates

/** Ramer–Douglas–Peucker with a tolerance in degrees. */
function thin(points: readonly Point[], tolerance: number): Point[] {
  const first = points[0]!
  const last = points[points.length - 1]!
  let worst = 0
  let at = 0
  for (let index = 1; index < points.length - 1; index++) {
    const away = distance(points[index]!, first, last)
    if (away > worst) {
      worst = away
      at = index
    }
  }
  if (worst <= tolerance) return [first, last]
  return [...thin(points.slice(0, at + 1), tolerance).slice(0, -1), ...thin(points.slice(at), tolerance)]
}

function distance([x, y]: Point, [x1, y1]: Point, [x2, y2]: Point): number {
  const length = (x2 - x1) ** 2 + (y2 - y1) ** 2
  const share = length ? Math.max(0, Math.min(1, ((x - x1) * (x2 - x1) + (y - y1) * (y2 - y1)) / length)) : 0
  return Math.hypot(x - x1 - share * (x2 - x1), y - y1 - share * (y2 - y1))
}

const round = ([x, y]: Point): Point => [Math.round(x * 100) / 100, Math.round(y * 100) / 100]
const coordinates = lines
  .map((line) => thin(line, 0.015).map(round))
  .filter((line) => line.length > 2 || Math.hypot(line[0]![0] - line[1]![0], line[0]![1] - line[1]![1]) > 0.1)
writeFileSync(
  new URL('states.json', import.meta.url),
  `${JSON.stringify({ type: 'MultiLineString', coordinates })}\n`,
)
