import { dayOf } from './clock.ts'
import type { Events, TrueDrop, TrueFlight, World } from './truth.ts'

/** Sorts events, gives them their ids, and links each drop to the flight it was made on. */
export function finish(world: World, events: Events): Events {
  const byTime = (a: { at: number; aircraft: string }, b: { at: number; aircraft: string }): number =>
    a.at - b.at || (a.aircraft < b.aircraft ? -1 : 1)
  events.drops.sort(byTime)
  events.loads.sort(byTime)
  events.offloads.sort(byTime)
  events.flights.sort((a, b) => a.off - b.off || (a.aircraft < b.aircraft ? -1 : 1))
  const name = (letter: string, index: number): string => `${letter}${String(index + 1).padStart(6, '0')}`
  const loadIds = new Map(events.loads.map((load, index) => [load.id, name('L', index)]))
  for (const load of events.loads) load.id = loadIds.get(load.id)!
  for (const [index, drop] of events.drops.entries()) {
    drop.id = name('D', index)
    drop.load = drop.load && loadIds.get(drop.load)!
  }
  for (const [index, offload] of events.offloads.entries()) offload.id = name('O', index)
  for (const [index, flight] of events.flights.entries()) flight.id = name('F', index)
  linkFlights(events.drops, events.flights)
  numberRecords(world, events)
  const tickets = new Map<string, number>()
  for (const load of events.loads) {
    const number = (tickets.get(load.base) ?? 0) + 1
    tickets.set(load.base, number)
    load.ticket = `${load.base.slice(0, 1)}-${String(number).padStart(5, '0')}`
  }
  return events
}

function linkFlights(drops: TrueDrop[], flights: TrueFlight[]): void {
  const byAircraft = new Map<string, TrueFlight[]>()
  for (const flight of flights) {
    const own = byAircraft.get(flight.aircraft)
    if (own) own.push(flight)
    else byAircraft.set(flight.aircraft, [flight])
  }
  for (const drop of drops) {
    const own = byAircraft.get(drop.aircraft) ?? []
    drop.flight = own.find((flight) => flight.off <= drop.at && drop.at <= flight.on)?.id ?? null
  }
}

/**
 * Controller `a` counts its events anew each local day; controller `b` writes the day into the number,
 * so that a release trace can name its drop alone.
 */
function numberRecords(world: World, events: Events): void {
  const bases = new Map(world.bases.map((base) => [base.code, base.zone]))
  const models = new Map(world.aircraft.map((one) => [one.registration, one]))
  const counts = new Map<string, number>()
  const all = [...events.loads, ...events.drops, ...events.offloads].sort((a, b) => a.at - b.at)
  for (const event of all) {
    const one = models.get(event.aircraft)!
    const zone = (event.base && bases.get(event.base)) || bases.get(one.home)!
    const day = dayOf(event.at, zone)
    const count = (counts.get(event.aircraft + day) ?? 0) + 1
    counts.set(event.aircraft + day, count)
    const unique = `${day.slice(2).replaceAll('-', '')}-${String(count).padStart(2, '0')}`
    event.record = one.controller === 'a' ? String(count) : unique
  }
}
