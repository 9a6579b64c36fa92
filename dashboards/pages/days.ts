import type { BaseHourRow } from '../charts/base-hour-load.ts'
import type { FireDayRow } from '../charts/cumulative-by-fire.ts'
import type { FlightGallonsRow } from '../charts/gallons-per-hour.ts'
import type { Context } from '../context.ts'
import { clockIn } from '../times.ts'

export interface DropRow {
  drop: string
  dropped_at: string
  aircraft: string
  tank: string | null
  base: string | null
  fire: string | null
  fire_basis: string
  flight: string | null
  volume_gal: number | null
  fluid: string | null
  purpose: string
  latitude: number | null
  longitude: number | null
  witnesses: string[]
  status: string
  operating_day?: string | null
}
export interface LoadRow {
  load: string
  loaded_at: string
  aircraft: string
  base: string | null
  volume_gal: number | null
}
export interface FlightRow {
  flight: string
  off_at: string
  on_at: string
  aircraft: string
  airborne_hours: number | null
  mission: boolean
  operating_day?: string | null
}

const dayOf = (row: { operating_day?: string | null }, at: string, zone: string): string =>
  row.operating_day ?? clockIn(at, zone)?.day ?? at.slice(0, 10)

/** Gallons by fire and day: the warehouse's own answer where there is one, else summed from the drops. */
export async function fireDays(
  context: Context,
  names: ReadonlyMap<string, string | null>,
): Promise<FireDayRow[]> {
  const own = await context.maybe<FireDayRow>('gallons-by-fire-day')
  if (own) return own.map((row) => ({ ...row, name: row.name ?? names.get(row.fire) ?? null }))
  const drops = await context.query<DropRow>('drops')
  const sums = new Map<string, FireDayRow>()
  for (const drop of drops) {
    if (drop.purpose !== 'fire') continue
    const fire = drop.fire ?? 'unattributed'
    const day = dayOf(drop, drop.dropped_at, context.address.zone)
    const sum = sums.get(`${fire} ${day}`) ?? { fire, name: names.get(fire) ?? null, day, gallons: 0 }
    sum.gallons = (sum.gallons ?? 0) + (drop.volume_gal ?? 0)
    sums.set(`${fire} ${day}`, sum)
  }
  return [...sums.values()]
}

/** Loads by base and hour of the zone shown. */
export async function baseHours(context: Context): Promise<BaseHourRow[]> {
  const sums = new Map<string, BaseHourRow>()
  const add = (base: string, at: string, loads: number): void => {
    const hour = clockIn(at, context.address.zone)?.hour
    if (hour === undefined) return
    const sum = sums.get(`${base} ${hour}`) ?? { base, hour, loads: 0 }
    sum.loads += loads
    sums.set(`${base} ${hour}`, sum)
  }
  const own = await context.maybe<{ base: string | null; hour_at: string; loads: number }>('loads-by-hour')
  if (own) for (const row of own) add(row.base ?? 'unknown', row.hour_at, row.loads)
  else
    for (const load of await context.query<LoadRow>('loads')) add(load.base ?? 'unknown', load.loaded_at, 1)
  return [...sums.values()]
}

/** Mission flights with what they delivered. */
export async function flightGallons(context: Context): Promise<FlightGallonsRow[]> {
  const own = await context.maybe<FlightGallonsRow>('flight-gallons')
  if (own) return own
  const [flights, drops] = await Promise.all([
    context.query<FlightRow>('flights'),
    context.query<DropRow>('drops'),
  ])
  const sums = new Map<string, number>()
  for (const drop of drops) {
    if (drop.purpose === 'fire' && drop.flight)
      sums.set(drop.flight, (sums.get(drop.flight) ?? 0) + (drop.volume_gal ?? 0))
  }
  return flights
    .filter((flight) => sums.has(flight.flight))
    .map((flight) => ({
      flight: flight.flight,
      aircraft: flight.aircraft,
      day: dayOf(flight, flight.off_at, context.address.zone),
      airborne_hours: flight.airborne_hours,
      gallons: sums.get(flight.flight) ?? null,
    }))
}
