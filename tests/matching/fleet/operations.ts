import { Chance } from './chance.ts'

/**
 * What a fleet really did: aircraft shuttle between the base that is nearest and the fires that burn, by distance and
 * speed, with loads topped up, carried back, let go or taken out. Nothing here knows who will write it down.
 */
export interface Happening {
  /** Number of the event, across the fleet. */
  readonly number: number
  readonly kind: 'drop' | 'load' | 'flight' | 'offload'
  readonly aircraft: string
  /** Day of the plan, from 0. */
  readonly day: number
  /** True time, seconds since 1970. */
  readonly at: number
  readonly until: number
  readonly gallons: number | null
  /** Share of the load that was asked for. */
  readonly fraction: number | null
  readonly latitude: number | null
  readonly longitude: number | null
  readonly fire: Fire | null
  readonly purpose: 'fire' | 'jettison' | 'ground-test' | null
  /** Number of the load that it came from, per fleet; loads carry their own. */
  readonly load: number
  readonly base: string | null
  /** What the tank's gauge showed before and after a load. */
  readonly before: number | null
  readonly after: number | null
}

export interface Fire {
  readonly number: string
  readonly name: string
  readonly latitude: number
  readonly longitude: number
  readonly firstDay: number
  readonly lastDay: number
}

export interface Base {
  readonly code: string
  readonly latitude: number
  readonly longitude: number
}

export interface Fleet {
  readonly aircraft: readonly { readonly registration: string; readonly capacity: number }[]
  readonly fires: readonly Fire[]
  readonly bases: readonly Base[]
  readonly happenings: readonly Happening[]
}

export interface FleetPlan {
  readonly seed: number
  readonly aircraft: number
  readonly days: number
  /** Most loads of an aircraft in a day; few make days with little to compare. */
  readonly loads?: number
  /** Shapes that loads are let go in, as shares. */
  readonly shapes?: readonly (readonly number[])[]
  /** Shortest and longest time between two drops of a load, seconds. */
  readonly gap?: readonly [number, number]
}

export const firstDay = Date.UTC(2025, 6, 3) / 1000
const knots = 230

const usualShapes: readonly (readonly number[])[] = [
  [1],
  [1],
  [1],
  [0.5, 0.5],
  [0.5, 0.5],
  [0.25, 0.75],
  [1 / 3, 1 / 3, 1 / 3],
  [0.25, 0.25, 0.5],
  [0.25, 0.25, 0.25, 0.25],
]

const firstWords = [
  'Antler',
  'Bramble',
  'Cinder',
  'Dogwood',
  'Elkhorn',
  'Flint',
  'Granite',
  'Hollow',
  'Juniper',
  'Kettle',
]
const lastWords = ['Creek', 'Ridge', 'Butte', 'Canyon', 'Lake', 'Flat', 'Gulch', 'Point']

export function operate(plan: FleetPlan): Fleet {
  const land = new Chance(plan.seed, 'land')
  const bases = ['KAP', 'KBR', 'KCT'].map((code, i) => ({
    code,
    latitude: 44 + 0.9 * i + land.between(-0.2, 0.2),
    longitude: -117 - 0.8 * ((i * 2) % 3) + land.between(-0.2, 0.2),
  }))
  const fires: Fire[] = []
  const count = 3 + Math.ceil(plan.days / 4)
  for (let i = 0; i < count; i++) {
    const start = i < 3 ? 0 : Math.floor(land.between(0, plan.days))
    fires.push({
      number: `ZY-${String(120 + 13 * i).padStart(6, '0')}`,
      name: `${firstWords[i % firstWords.length]} ${lastWords[(i * 3 + Math.floor(i / firstWords.length)) % lastWords.length]}`,
      latitude: land.between(43.6, 46.4),
      longitude: land.between(-119.5, -116.2),
      firstDay: start,
      lastDay: start + Math.ceil(land.between(2, 12)),
    })
  }
  const aircraft = Array.from({ length: plan.aircraft }, (_, i) => ({
    registration: `N${431 + 17 * i}ZY`,
    capacity: land.of([800, 1200, 1900, 2600, 3000, 3900]),
  }))
  const happenings: Happening[] = []
  let loads = 0
  const add = (
    item: Partial<Happening> & Pick<Happening, 'kind' | 'aircraft' | 'day' | 'at' | 'load'>,
  ): void => {
    happenings.push({
      number: happenings.length,
      until: item.at,
      gallons: null,
      fraction: null,
      latitude: null,
      longitude: null,
      fire: null,
      purpose: null,
      base: null,
      before: null,
      after: null,
      ...item,
    })
  }
  for (const { registration, capacity } of aircraft) {
    const flying = new Chance(plan.seed, `flying ${registration}`)
    let base = flying.of(bases)
    let isBusy = true
    let level = 0
    for (let day = 0; day < plan.days; day++) {
      isBusy = flying.is(isBusy ? 0.85 : 0.4)
      const burning = fires.filter((fire) => fire.firstDay <= day && day <= fire.lastDay)
      if (!isBusy || burning.length === 0) continue
      let clock = firstDay + day * 86_400 + flying.between(15.5, 20) * 3600
      const dusk = firstDay + day * 86_400 + 26.5 * 3600
      if (flying.is(0.05)) {
        const at = clock - flying.between(20, 70) * 60
        add({ kind: 'drop', aircraft: registration, day, at, load: -1, gallons: 0, purpose: 'ground-test' })
      }
      let target = flying.of(burning)
      const most = 1 + Math.floor(flying.unit() * (plan.loads ?? 9))
      for (let sortie = 0; sortie < most && clock < dusk; sortie++) {
        if (flying.is(0.25)) target = flying.of(burning)
        const full = capacity * flying.between(0.93, 1)
        const filled = Math.max(0, full - level)
        const load = loads++
        if (filled > 0.05 * capacity) {
          clock += flying.between(3, 11) * 60
          add({
            kind: 'load',
            aircraft: registration,
            day,
            at: clock,
            load,
            gallons: filled,
            base: base.code,
            before: level,
            after: level + filled,
          })
          level += filled
        }
        const off = clock + flying.between(3, 9) * 60
        const legs = distanceNm(base, target)
        const there = off + (legs / knots) * 3600 + flying.wait(240)
        let at = there
        const isAborted = flying.is(0.03)
        const shape = isAborted ? [] : flying.of(plan.shapes ?? usualShapes)
        const held = level
        shape.forEach((share, part) => {
          if (part > 0) at += flying.between(...(plan.gap ?? [60, 480]))
          const isLast = part === shape.length - 1
          const gallons = isLast
            ? level * flying.between(0.975, 1)
            : Math.min(level, share * held * (1 + flying.normal(0.03)))
          level -= gallons
          const isLetGo = isLast && shape.length > 1 && flying.is(0.06)
          const elsewhere = !isLast || !flying.is(0.08) ? target : flying.of(burning)
          add({
            kind: 'drop',
            aircraft: registration,
            day,
            at,
            load,
            gallons,
            fraction: share,
            fire: isLetGo ? null : elsewhere,
            purpose: isLetGo ? 'jettison' : 'fire',
            latitude: elsewhere.latitude + flying.normal(0.012),
            longitude: elsewhere.longitude + flying.normal(0.016),
          })
        })
        const home = flying.is(0.12) ? flying.of(bases) : base
        const on = at + (distanceNm(home, target) / knots) * 3600 + flying.between(2, 9) * 60
        add({ kind: 'flight', aircraft: registration, day, at: off, until: on, load, base: base.code })
        base = home
        clock = on + flying.between(4, 15) * 60
        if (isAborted && flying.is(0.3)) {
          add({
            kind: 'offload',
            aircraft: registration,
            day,
            at: clock,
            load,
            gallons: level,
            base: base.code,
          })
          level = 0
          clock += 600
        }
        if (flying.is(0.12)) clock += flying.between(40, 150) * 60
      }
    }
  }
  return { aircraft, fires, bases, happenings }
}

export function distanceNm(
  one: { latitude: number; longitude: number },
  other: { latitude: number; longitude: number },
): number {
  const east = (one.longitude - other.longitude) * Math.cos((one.latitude * Math.PI) / 180)
  return 60 * Math.hypot(one.latitude - other.latitude, east)
}
