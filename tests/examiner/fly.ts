import type { Chance } from './chance.ts'
import { days } from './days.ts'
import type { Load, Season } from './events.ts'
import { activeFires, baseOf, nauticalMiles, round1, tankOn, zoneOffset } from './places.ts'
import { type Aircraft, type Fire, type Tank, utc } from './registry.ts'
import { release } from './release.ts'
import { bases, fleet } from './world.ts'

/** What happened: every load, drop, flight and offload, with the level of each tank kept exactly. */
export function fly(chance: Chance, share = 0.6): Season {
  const s: Season = { loads: [], drops: [], flights: [], offloads: [], assessments: [] }
  const level = new Map<string, number>()
  const place = new Map<string, string>(fleet.map((a) => [a.registration, a.home]))
  const carried = new Map<string, Load>()
  let ticket = 1000
  for (const day of days(chance, share)) for (const plane of fleet) if (chance.is(0.75)) oneDay(day, plane)
  return s

  function oneDay(day: string, plane: Aircraft): void {
    const homeZone = baseOf(place.get(plane.registration) as string).zone
    const noon = utc(`${day}T12:00:00Z`)
    let t = utc(`${day}T09:00:00Z`) - zoneOffset(homeZone, noon) + chance.int(0, 5400)
    const end = utc(`${day}T19:30:00Z`) - zoneOffset(homeZone, noon)
    const tank = tankOn(plane.registration, t)
    const name = plane.registration
    const near = activeFires(noon + 86400).filter(
      (f) => nauticalMiles(f, baseOf(place.get(name) as string)) < 150,
    )
    if (!tank) {
      if (chance.is(0.5))
        flight(
          t,
          t + chance.int(1800, 5400),
          plane,
          null,
          place.get(name) as string,
          place.get(name) as string,
          day,
        )
      return
    }
    const key = tank.serial
    if (plane.hasController && (level.get(key) ?? 0) === 0 && chance.is(0.15)) {
      const doors = [chance.int(1, tank.doors)]
      release(s, chance, {
        at: t - 1800,
        base: place.get(name) as string,
        plane,
        tank,
        load: null,
        flight: null,
        fire: null,
        gal: 0,
        commanded: null,
        coverage: null,
        fraction: '',
        purpose: 'ground-test',
        doors,
        day,
        where: baseOf(place.get(name) as string),
        openings: chance.int(1, 3),
        stated: false,
        fluid: '',
      })
    }
    let trips = chance.int(1, 4)
    while (trips-- > 0 && t < end) t = trip(t, day, plane, tank, near) + chance.int(60, 900)
  }

  function trip(start: number, day: string, plane: Aircraft, tank: Tank, near: Fire[]): number {
    const name = plane.registration
    const from = place.get(name) as string
    const base = baseOf(from)
    let t = start
    let now = level.get(tank.serial) ?? 0
    let load = carried.get(tank.serial)
    const training = near.length === 0 || chance.is(0.05)
    if (now < tank.capacity_gal * 0.5) {
      if (now > 0 && chance.is(0.15)) {
        s.offloads.push({
          at: t,
          aircraft: name,
          tank: tank.serial,
          base: from,
          gal: now,
          fluid: load?.fluid ?? 'water',
          day,
        })
        now = 0
        t += 300
      }
      const target = round1(tank.capacity_gal * chance.pick([1, 1, 0.95, 0.9]))
      const overflow = target === tank.capacity_gal && chance.is(0.03)
      const gal = round1(target - now)
      const started = t
      t += Math.round(gal / 6) + chance.int(60, 240)
      const fluid = training
        ? 'water'
        : chance.pick(['retardant', 'retardant', 'retardant', 'water', 'gel', 'foam'])
      load = {
        id: `L${s.loads.length}`,
        at: t,
        started,
        aircraft: name,
        tank: tank.serial,
        base: from,
        gal,
        fluid,
        ticket: chance.is(0.97) ? `T-${ticket++}` : '',
        target: gal,
        overflow,
        before: now,
        after: target,
        day,
      }
      s.loads.push(load)
      carried.set(tank.serial, load)
      now = target
    }
    if (!load) throw new Error('no load')
    const fire = training || near.length === 0 ? null : chance.pick(near)
    t += chance.int(300, 1500)
    const off = t
    const goal = fire ?? { latitude: base.latitude + 0.2, longitude: base.longitude + 0.1 }
    t += Math.round((nauticalMiles(base, goal) / plane.cruise_kt) * 3600) + chance.int(60, 400)
    const flightId = `F${s.flights.length}`
    const carriesHome = chance.is(0.04)
    const emergency = !carriesHome && chance.is(0.03)
    const parts = training ? chance.int(1, 2) : chance.pick([1, 2, 2, 3, 4])
    if (!carriesHome && emergency) {
      const gal = round1(now)
      release(s, chance, {
        at: t,
        base: load.base,
        plane,
        tank,
        load,
        flight: flightId,
        fire: null,
        gal,
        commanded: null,
        coverage: null,
        fraction: 'full',
        purpose: 'emergency',
        doors: null,
        day,
        where: goal,
        openings: 1,
        stated: false,
        fluid: load.fluid,
      })
      now = 0
      t += 120
    } else if (!carriesHome) {
      const full = now
      for (let part = 0; part < parts; part++) {
        const last = part === parts - 1
        const jettison = last && parts > 1 && chance.is(0.08)
        const commanded = last ? Math.round(now) : Math.round(full / parts)
        if (commanded <= 5) break
        const gal = last
          ? chance.is(0.6)
            ? now
            : round1(now * chance.between(0.97, 0.995))
          : round1(Math.min(now, commanded * (1 + chance.normal(0.01, 0.02))))
        const astray = fire !== null && chance.is(0.04) ? 0.6 : 0
        const where = {
          latitude: goal.latitude + astray + chance.between(-0.02, 0.02),
          longitude: goal.longitude + chance.between(-0.02, 0.02),
        }
        const fraction = parts === 1 ? 'full' : `1/${parts}`
        const purpose = training ? 'training' : jettison ? 'jettison' : 'fire'
        release(s, chance, {
          at: t,
          base: load.base,
          plane,
          tank,
          load,
          flight: flightId,
          fire: purpose === 'fire' ? fire : null,
          gal,
          commanded,
          coverage: purpose === 'fire' ? chance.pick([2, 3, 4, 6]) : null,
          fraction,
          purpose,
          doors:
            tank.door_use === 'in-sequence'
              ? Array.from({ length: Math.max(1, Math.round(tank.doors / parts)) }, (_, i) => i + 1)
              : null,
          day,
          where,
          openings: chance.is(0.03) ? 2 : 1,
          stated: astray === 0 && chance.is(0.85),
          fluid: load.fluid,
        })
        now = round1(now - gal)
        t += chance.int(200, 500)
      }
    }
    let to = from
    if (chance.is(0.08))
      to = chance.pick(bases.filter((b) => b.code !== from && nauticalMiles(b, base) < 420)).code
    if (now > 0.3 * tank.capacity_gal) to = from
    t += Math.round((nauticalMiles(goal, baseOf(to)) / plane.cruise_kt) * 3600) + chance.int(60, 300)
    flight(off, t, plane, tank.serial, from, to, day)
    place.set(name, to)
    level.set(tank.serial, now)
    return t + chance.int(240, 1500)
  }

  function flight(
    off: number,
    on: number,
    plane: Aircraft,
    tank: string | null,
    from: string,
    to: string,
    day: string,
  ): void {
    s.flights.push({ id: `F${s.flights.length}`, off, on, aircraft: plane.registration, tank, from, to, day })
  }
}
