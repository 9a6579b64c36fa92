import { DAY, dateToSeconds, fromLocal, HOUR } from './clock.ts'
import { makeFires } from './fires.ts'
import { fitTanks } from './fittings.ts'
import type { Settings } from './options.ts'
import type { Random } from './random.ts'
import { aircraftTypes, basePlaces, tankModels } from './tables.ts'
import type { TrueAircraft, TrueBase, TrueMounting, TrueTank, World } from './truth.ts'

function makeBases(settings: Settings, random: Random): TrueBase[] {
  const bias = settings.mess.meter_bias_pct
  return basePlaces.slice(0, Math.min(settings.bases, basePlaces.length)).map((place, index) => {
    const [code, name, zone, latitude, longitude, fluid, aliases] = place
    const drawn = random.normal(0, 1)
    const pct = typeof bias === 'number' ? drawn * bias : (bias[code] ?? 0)
    return {
      code,
      name,
      zone,
      latitude,
      longitude,
      fluid,
      aliases: [...aliases],
      meter_class: index % 2 === 0 ? '0.5' : '1.5',
      meter_factor: 1 + pct / 100,
    }
  })
}

function makeAircraft(settings: Settings, bases: TrueBase[]): TrueAircraft[] {
  return Array.from({ length: settings.aircraft }, (_, index) => {
    const type = aircraftTypes[[0, 1, 0, 2, 1, 3, 0, 1][index % 8]!]!
    const number = 801 + index
    return {
      registration: `N${number}ZY`,
      call_number: `T${number}`,
      type_designator: type.designator,
      class: type.class,
      max_load_gal: type.load,
      cruise_kt: type.cruise,
      max_speed_kt: type.max,
      home: bases[index % bases.length]!.code,
      controller: index % 3 === 2 ? 'b' : 'a',
    }
  })
}

/** One tank for each aircraft and a spare for each class that has at least two aircraft (or for the first). */
function makeTanks(aircraft: TrueAircraft[]): { tanks: TrueTank[]; spares: Map<string, string> } {
  const tanks: TrueTank[] = []
  const spares = new Map<string, string>()
  const add = (className: string): string => {
    const models = tankModels[className]!
    const [part, capacity, doors, use, flow] = models[tanks.length % models.length]!
    const serial = `${part.slice(0, 2)}-${101 + tanks.length}`
    tanks.push({
      serial,
      part_number: part,
      capacity_gal: capacity,
      doors,
      door_use: use as TrueTank['door_use'],
      flow: flow as TrueTank['flow'],
      peak_flow_gal_s: Math.round(capacity / 2.6),
      pattern_width_ft: 50 + Math.round(capacity / 100),
    })
    return serial
  }
  for (const one of aircraft) add(one.class)
  const classes = [...new Set(aircraft.map((one) => one.class))]
  for (const name of classes) {
    if (aircraft.filter((one) => one.class === name).length > 1 || name === classes[0])
      spares.set(name, add(name))
  }
  return { tanks, spares }
}

/** Spares go in where a tank comes out: every tank of a class meets several airframes in the season. */
function makeMountings(
  settings: Settings,
  aircraft: TrueAircraft[],
  tanks: TrueTank[],
  spares: Map<string, string>,
  zoneOf: (code: string) => string,
  random: Random,
): TrueMounting[] {
  const start = dateToSeconds(settings.start)
  const open = new Map<string, TrueMounting>()
  const all: TrueMounting[] = []
  const mount = (one: TrueAircraft, tank: string, on: number): void => {
    const mounting = { tank, aircraft: one.registration, on, off: null }
    open.set(one.registration, mounting)
    all.push(mounting)
  }
  for (const [index, one] of aircraft.entries()) {
    mount(one, tanks[index]!.serial, start - (10 + (index % 5)) * DAY + 16 * HOUR)
  }
  for (const [name, first] of spares) {
    let spare = first
    const members = aircraft.filter((one) => one.class === name)
    for (let day = 18 + random.whole(0, 6), turn = 0; day < settings.days - 5; day += random.whole(20, 34)) {
      const one = members[turn++ % members.length]!
      const night = fromLocal(zoneOf(one.home), start + day * DAY + 2 * HOUR)
      const old = open.get(one.registration)!
      old.off = night
      mount(one, spare, night + 2 * HOUR)
      spare = old.tank
    }
  }
  return all
}

export function makeWorld(settings: Settings, random: Random): World {
  const bases = makeBases(settings, random.fork('bases'))
  const aircraft = makeAircraft(settings, bases)
  const { tanks, spares } = makeTanks(aircraft)
  const zones = new Map(bases.map((base) => [base.code, base.zone]))
  const zoneOf = (code: string): string => zones.get(code)!
  const mountings = makeMountings(settings, aircraft, tanks, spares, zoneOf, random.fork('mountings'))
  const start = dateToSeconds(settings.start)
  return {
    start,
    days: settings.days,
    year: Number(settings.start.slice(0, 4)),
    bases,
    aircraft,
    tanks,
    mountings,
    ...fitTanks(tanks, start, settings.days, random.fork('fittings')),
    fires: makeFires(bases, start, settings.days, random.fork('fires')),
  }
}
