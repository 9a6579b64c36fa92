import { cycleAnswers, type TankCycle } from './cycles.ts'
import type { Events, TrueDrop, TrueFlight, World } from './truth.ts'

export interface FireAnswer {
  fire: string
  name: string | null
  drops: number
  gallons: number
  water_gal: number
  retardant_gal: number
  gel_gal: number
  foam_gal: number
  flight_hours: number
  gallons_per_flight_hour: number | null
  first_at: string | null
  last_at: string | null
}
export interface BaseAnswer {
  base: string
  loads: number
  loaded_gal: number
  drops: number
  gallons: number
  flight_hours: number
  gallons_per_flight_hour: number | null
  median_turnaround_min: number | null
}
export interface AircraftAnswer {
  aircraft: string
  drops: number
  gallons: number
  airborne_hours: number
  mission_hours: number
  gallons_per_airborne_hour: number | null
  gallons_per_mission_hour: number | null
}
export interface Answers {
  gallonsByFire: FireAnswer[]
  gallonsByBase: BaseAnswer[]
  gallonsByAircraft: AircraftAnswer[]
  gallonsByDay: { day: string; drops: number; gallons: number; airborne_hours: number }[]
  volumeByPurpose: { purpose: string; drops: number; gallons: number }[]
  hoursByFire: { fire: string; flight_hours: number }[]
  turnarounds: { aircraft: string; day: string; base: string; minutes: number }[]
  tankCycles: TankCycle[]
}

const ratio = (amount: number, hours: number): number | null => (hours > 0 ? amount / hours : null)
const sum = <T>(items: readonly T[], of: (item: T) => number): number =>
  items.reduce((total, item) => total + of(item), 0)

function groups<T>(items: readonly T[], keyOf: (item: T) => string): Map<string, T[]> {
  const found = new Map<string, T[]>()
  for (const item of items) {
    const key = keyOf(item)
    const group = found.get(key)
    if (group) group.push(item)
    else found.set(key, [item])
  }
  return found
}

export function median(values: readonly number[]): number | null {
  const sorted = [...values].sort((a, b) => a - b)
  const half = sorted.length / 2
  if (sorted.length === 0) return null
  return sorted.length % 2 ? sorted[Math.floor(half)]! : (sorted[half - 1]! + sorted[half]!) / 2
}

/**
 * Each drop's share of the airborne hours of its flight: in proportion to its volume among the `fire`
 * drops of the flight, or equal shares where the flight released nothing.
 */
function hourShares(drops: readonly TrueDrop[], flights: readonly TrueFlight[]): Map<string, number> {
  const shares = new Map<string, number>()
  const hours = new Map(flights.map((flight) => [flight.id, flight.airborne_hours]))
  for (const [flight, own] of groups(
    drops.filter((drop) => drop.flight !== null && hours.has(drop.flight)),
    (drop) => drop.flight!,
  )) {
    const volume = sum(own, (drop) => drop.volume_gal)
    for (const drop of own)
      shares.set(drop.id, hours.get(flight)! * (volume > 0 ? drop.volume_gal / volume : 1 / own.length))
  }
  return shares
}

/** Load to next load of one aircraft on one operating day, minutes; it belongs to the base of the first load. */
export function turnaroundsOf(events: Events): Answers['turnarounds'] {
  const found: Answers['turnarounds'] = []
  for (const loads of groups(events.loads, (load) => load.aircraft).values()) {
    for (let index = 1; index < loads.length; index++) {
      const [load, next] = [loads[index - 1]!, loads[index]!]
      if (load.day !== next.day) continue
      const { aircraft, day, base } = load
      found.push({ aircraft, day, base, minutes: (next.at - load.at) / 60 })
    }
  }
  return found
}

/** The season's answers, computed from what truly happened and nothing else. */
export function answersOf(world: World, events: Events): Answers {
  const fireDrops = events.drops.filter((drop) => drop.purpose === 'fire')
  const shares = hourShares(fireDrops, events.flights)
  const hoursOf = (drops: readonly TrueDrop[]): number => sum(drops, (drop) => shares.get(drop.id) ?? 0)
  const withFlight = (drops: readonly TrueDrop[]): number =>
    sum(drops, (drop) => (shares.has(drop.id) ? drop.volume_gal : 0))
  const gallons = (drops: readonly TrueDrop[]): number => sum(drops, (drop) => drop.volume_gal)
  const mission = new Set(fireDrops.map((drop) => drop.flight))
  const idle = sum(events.flights, (flight) => (mission.has(flight.id) ? 0 : flight.airborne_hours))
  const names = new Map(world.fires.map((fire) => [fire.number, fire.name]))

  const byFire = groups(fireDrops, (drop) => drop.fire ?? 'unattributed')
  if (!byFire.has('unattributed')) byFire.set('unattributed', [])
  const gallonsByFire = [...byFire].map(([fire, drops]): FireAnswer => {
    const fluid = (name: string): number => gallons(drops.filter((drop) => drop.fluid === name))
    return {
      fire,
      name: names.get(fire) ?? null,
      drops: drops.length,
      gallons: gallons(drops),
      water_gal: fluid('water'),
      retardant_gal: fluid('retardant'),
      gel_gal: fluid('gel'),
      foam_gal: fluid('foam'),
      flight_hours: hoursOf(drops),
      gallons_per_flight_hour: ratio(withFlight(drops), hoursOf(drops)),
      first_at: drops[0]?.dropped_at ?? null,
      last_at: drops.at(-1)?.dropped_at ?? null,
    }
  })

  const turnarounds = turnaroundsOf(events)
  const byBase = groups(fireDrops, (drop) => drop.base ?? 'unknown')
  const codes = [...new Set([...events.loads.map((load) => load.base), ...byBase.keys(), 'unknown'])]
  const gallonsByBase = codes.map((base): BaseAnswer => {
    const drops = byBase.get(base) ?? []
    const loads = events.loads.filter((load) => load.base === base)
    return {
      base,
      loads: loads.length,
      loaded_gal: sum(loads, (load) => load.volume_gal),
      drops: drops.length,
      gallons: gallons(drops),
      flight_hours: hoursOf(drops),
      gallons_per_flight_hour: ratio(withFlight(drops), hoursOf(drops)),
      median_turnaround_min: median(turnarounds.filter((one) => one.base === base).map((one) => one.minutes)),
    }
  })
  const nothing = { loads: 0, loaded_gal: 0, drops: 0, gallons: 0 }
  gallonsByBase.push({
    base: 'no drop',
    ...nothing,
    flight_hours: idle,
    gallons_per_flight_hour: null,
    median_turnaround_min: null,
  })

  const days = [...new Set([...fireDrops, ...events.flights].map((one) => one.day))].sort()
  return {
    gallonsByFire,
    gallonsByBase,
    gallonsByAircraft: world.aircraft.map(({ registration: aircraft }): AircraftAnswer => {
      const drops = fireDrops.filter((drop) => drop.aircraft === aircraft)
      const flights = events.flights.filter((flight) => flight.aircraft === aircraft)
      const airborne_hours = sum(flights, (flight) => flight.airborne_hours)
      const mission_hours = sum(flights, (flight) => (mission.has(flight.id) ? flight.airborne_hours : 0))
      return {
        aircraft,
        drops: drops.length,
        gallons: gallons(drops),
        airborne_hours,
        mission_hours,
        gallons_per_airborne_hour: ratio(withFlight(drops), airborne_hours),
        gallons_per_mission_hour: ratio(withFlight(drops), mission_hours),
      }
    }),
    gallonsByDay: days.map((day) => {
      const drops = fireDrops.filter((drop) => drop.day === day)
      const flights = events.flights.filter((flight) => flight.day === day)
      const airborne_hours = sum(flights, (flight) => flight.airborne_hours)
      return { day, drops: drops.length, gallons: gallons(drops), airborne_hours }
    }),
    volumeByPurpose: [...groups(events.drops, (drop) => drop.purpose)].map(([purpose, drops]) => ({
      purpose,
      drops: drops.length,
      gallons: gallons(drops),
    })),
    hoursByFire: [
      ...gallonsByFire.map(({ fire, flight_hours }) => ({ fire, flight_hours })),
      { fire: 'no drop', flight_hours: idle },
    ],
    turnarounds,
    tankCycles: cycleAnswers(world, events),
  }
}
