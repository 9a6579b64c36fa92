import { DAY, HOUR } from './clock.ts'
import type { Random } from './random.ts'
import { doorComponents, tankComponents } from './tables.ts'
import type { TrueBaseline, TrueComponent, TrueFitting, TrueTank } from './truth.ts'

interface Fitted {
  components: TrueComponent[]
  fittings: TrueFitting[]
  baselines: TrueBaseline[]
}

/**
 * Components of every tank with the counts they bring in, and the swaps of the season: a door of every
 * second tank and some other part of the rest, each at an hour of the night at which nothing flies.
 */
export function fitTanks(tanks: TrueTank[], start: number, days: number, random: Random): Fitted {
  const components: TrueComponent[] = []
  const fittings: TrueFitting[] = []
  const baselines: TrueBaseline[] = []
  const counted = start - 31 * DAY
  const fitted = start - 60 * DAY
  let serial = 1000
  const carry = (item: string, counter: string, value: number, at = counted): void => {
    baselines.push({ item, counter, value, at })
  }
  const install = (
    kind: string,
    letters: string,
    tank: string,
    position: string,
    on: number,
  ): TrueFitting => {
    const component = { serial: `${letters}-${++serial}`, kind, part_number: `${letters}-P1` }
    const fitting = { component: component.serial, tank, position, on, off: null }
    components.push(component)
    fittings.push(fitting)
    return fitting
  }
  for (const [index, tank] of tanks.entries()) {
    const openings = random.whole(100, 900)
    carry(tank.serial, 'openings', openings)
    carry(tank.serial, 'retardant-openings', Math.floor(openings * 0.6))
    carry(tank.serial, 'fills', Math.floor(openings * 0.7))
    carry(tank.serial, 'emergency-releases', random.whole(0, 3))
    carry(tank.serial, 'mountings', random.whole(1, 6))
    carry(tank.serial, 'mounted-hours', random.whole(800, 6000) / 10)
    for (let door = 1; door <= tank.doors; door++) {
      for (const [kind, letters] of doorComponents) {
        const one = install(kind, letters, tank.serial, `door-${door}`, fitted)
        const cycles = random.whole(20, openings)
        carry(one.component, 'door-cycles', cycles)
        if (kind !== 'door') carry(one.component, 'openings', cycles)
      }
    }
    for (const [kind, position, letters] of tankComponents) {
      const one = install(kind, letters, tank.serial, position, fitted)
      carry(one.component, 'openings', random.whole(10, openings))
      if (kind === 'hose' || kind === 'fill valve') carry(one.component, 'fills', random.whole(10, openings))
    }
    const night = start + random.whole(Math.floor(days * 0.3), Math.floor(days * 0.7)) * DAY + 10 * HOUR
    const swapped = index % 2 === 0 ? 'door' : 'seal'
    const position = `door-${random.whole(1, tank.doors)}`
    const old = fittings.find(
      (one) =>
        one.tank === tank.serial &&
        one.position === position &&
        components.some((part) => part.serial === one.component && part.kind === swapped),
    )!
    old.off = night
    const fresh = install(swapped, swapped === 'door' ? 'DR' : 'SL', tank.serial, position, night)
    if (index % 4 === 0) carry(fresh.component, 'door-cycles', random.whole(30, 300), night - DAY)
  }
  return { components, fittings, baselines }
}
