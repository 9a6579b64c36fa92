import { dayOf } from './clock.ts'
import type { ClockBook } from './clock-book.ts'
import { fileOf, profileFile, type Row, type SeasonFile } from './files.ts'
import { between, type Point } from './geo.ts'
import type { Random } from './random.ts'
import type { Events, TrueFlight, World } from './truth.ts'

const profile = {
  profile: 'tracker-points',
  format: 'csv',
  headers: ['unit', 'epoch', 'lat', 'lon', 'alt ft', 'gs kt', 'event'],
  zone: 'UTC',
  records: [
    {
      kind: 'position',
      witness: 'tracker',
      fields: {
        aircraft: { from: 'unit' },
        seen_at: { from: 'epoch', format: ['epoch_s'] },
        latitude: { from: 'lat' },
        longitude: { from: 'lon' },
        altitude: { from: 'alt ft', unit: 'ft' },
        groundspeed: { from: 'gs kt', unit: 'kt' },
        event: { from: 'event' },
      },
    },
  ],
}

/** Where the aircraft was: out to the place, round it, and home, at its cruising speed. */
function placeAt(
  flight: TrueFlight,
  legs: { from: Point; to: Point; out: number; back: number },
  at: number,
): Point {
  const { from, to, out, back } = legs
  if (at < out) return between(from, flight.target, (at - flight.off) / Math.max(1, out - flight.off))
  if (at > back) return between(flight.target, to, (at - back) / Math.max(1, flight.on - back))
  const turn = (at - out) / 150
  return {
    latitude: Math.round((flight.target.latitude + 0.03 * Math.sin(turn)) * 1e5) / 1e5,
    longitude: Math.round((flight.target.longitude + 0.04 * Math.cos(turn)) * 1e5) / 1e5,
  }
}

/** Points of the first so many aircraft, one gzip-compressed file a month, by the tracker's clock. */
export function trackingFiles(
  world: World,
  events: Events,
  book: ClockBook,
  count: number,
  seconds: number,
  random: Random,
): SeasonFile[] {
  if (count === 0) return []
  const bases = new Map(world.bases.map((base) => [base.code, base]))
  const months = new Map<string, Row[]>()
  const tracked = new Set(world.aircraft.slice(0, count).map((one) => one.registration))
  const times = new Map<string, number[]>()
  // A load let go on the way home is not let go over the fire.
  for (const { flight, at, purpose } of events.drops)
    if (flight && purpose !== 'jettison') times.set(flight, [...(times.get(flight) ?? []), at])
  for (const flight of events.flights) {
    if (!tracked.has(flight.aircraft) || !flight.witnesses.includes('tracker')) continue
    const [from, to] = [bases.get(flight.from_base)!, bases.get(flight.to_base)!]
    const drops = times.get(flight.id) ?? []
    const isFerry = flight.target.latitude === to.latitude && flight.target.longitude === to.longitude
    const middle = isFerry ? flight.on + 150 : (flight.off + flight.on) / 2
    const legs = { from, to, out: (drops[0] ?? middle) - 150, back: (drops.at(-1) ?? middle) + 90 }
    const shift = book.offset('tracker', flight.aircraft, flight.day)
    for (let at = flight.off; at <= flight.on; at += seconds) {
      const place = placeAt(flight, legs, at)
      const onGround = at === flight.off || at + seconds > flight.on
      const month = dayOf(at, 'UTC').slice(0, 7)
      const rows = months.get(month) ?? []
      months.set(month, rows)
      rows.push({
        unit: flight.aircraft,
        epoch: at + shift,
        lat: place.latitude,
        lon: place.longitude,
        'alt ft': onGround ? 3000 : random.whole(4200, 9500),
        'gs kt': onGround ? 0 : random.whole(120, 260),
        event: at === flight.off ? 'takeoff' : null,
      })
    }
  }
  const form = { format: 'csv', headers: profile.headers, gzip: true } as const
  return [
    profileFile(profile),
    ...[...months].map(([month, rows]) => fileOf(`tracker/points-${month}.csv.gz`, form, rows)),
  ]
}
