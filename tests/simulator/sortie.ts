import { dayOf, HOUR, iso, MINUTE } from './clock.ts'
import { between, distanceNm, offsetPoint, type Point } from './geo.ts'
import type { Random } from './random.ts'
import { usualCoverage } from './tables.ts'
import { biasNow, doorsMoved, type Release, release, type TankState } from './tank-state.ts'
import type { Events, Fluid, TrueAircraft, TrueBase, TrueFire, TrueFlight, TrueLoad } from './truth.ts'

/** One aircraft in the course of its day. */
export interface Crew {
  aircraft: TrueAircraft
  state: TankState
  base: TrueBase
  /** The earliest second at which it can do something next. */
  ready: number
}

export interface Sortie {
  kind: 'fire' | 'training' | 'called-off'
  fire: TrueFire | null
  place: Point
  stated: boolean
  returnTo: TrueBase
  seasonShare: number
  noise: number
}

const patterns: readonly (readonly [number[], number])[] = [
  [[1], 38],
  [[0.5, 0.5], 26],
  [[0.25, 0.25, 0.25, 0.25], 10],
  [[0.5, 0.25, 0.25], 8],
  [[0.75, 0.25], 5],
  [[0.25, 0.25, 0.5], 5],
  [[0.75], 1],
  [[0.5], 5],
  [[0.25], 3],
]

export const ceilMinute = (at: number): number => Math.ceil(at / MINUTE) * MINUTE

/** Fills the tank to its target; the gauge sees the level before and after. */
export function fill(crew: Crew, events: Events, random: Random, fluid: Fluid = crew.base.fluid): TrueLoad {
  const { state, base, aircraft } = crew
  const full = Math.min(state.tank.capacity_gal, aircraft.max_load_gal)
  const target = Math.round((full * random.pick([1, 1, 1, 0.95, 0.9])) / 10) * 10
  const before = state.level_gal
  const volume = Math.max(0, target - before)
  const started = crew.ready + random.whole(3, 9) * MINUTE
  const at = started + Math.round(60 + (volume / random.between(420, 560)) * 60)
  const load: TrueLoad = {
    id: `L${String(events.loads.length + 1).padStart(6, '0')}`,
    at,
    loaded_at: iso(at),
    started,
    day: dayOf(at, base.zone),
    aircraft: aircraft.registration,
    tank: state.tank.serial,
    record: '',
    witnesses: [],
    base: base.code,
    ticket: '',
    volume_gal: volume,
    target_gal: volume,
    overflow: false,
    fluid,
    gauge_before_gal: before,
    gauge_after_gal: before + volume,
  }
  events.loads.push(load)
  state.level_gal = before + volume
  state.fluid = fluid
  state.load = load
  state.full_gal = state.level_gal
  state.shareLeft = 1
  state.nextDoor = 1
  crew.ready = at
  return load
}

export function offload(crew: Crew, at: number, events: Events): void {
  const { state, base, aircraft } = crew
  if (state.level_gal <= 0) return
  events.offloads.push({
    id: '',
    at,
    offloaded_at: iso(at),
    day: dayOf(at, base.zone),
    aircraft: aircraft.registration,
    tank: state.tank.serial,
    record: '',
    witnesses: [],
    base: base.code,
    volume_gal: state.level_gal,
    fluid: state.fluid ?? base.fluid,
  })
  state.level_gal = 0
  crew.ready = Math.max(crew.ready, at)
}

/** Wheels off now, wheels on at the other base; whole minutes, as flight logs have them. */
export function fly(crew: Crew, to: TrueBase, off: number, on: number, target: Point, events: Events): void {
  const flight: TrueFlight = {
    id: `F${String(events.flights.length + 1).padStart(6, '0')}`,
    off,
    on,
    off_at: iso(off),
    on_at: iso(on),
    day: dayOf(off, crew.base.zone),
    aircraft: crew.aircraft.registration,
    tank: crew.state.tank.serial,
    from_base: crew.base.code,
    to_base: to.code,
    ordered: off - 20 * MINUTE,
    airborne_hours: (on - off) / HOUR,
    target: { latitude: target.latitude, longitude: target.longitude },
    witnesses: [],
  }
  events.flights.push(flight)
  crew.base = to
  crew.ready = on
}

/** Out to the place, drops, and back; the crew keeps, lets go or brings home what is left. */
export function flySortie(crew: Crew, sortie: Sortie, events: Events, random: Random): void {
  const { aircraft, state, base } = crew
  const hold = random.chance(0.06) ? random.whole(15, 40) : 0
  const off = ceilMinute(crew.ready + random.whole(4, 11) * MINUTE + hold * MINUTE)
  const leg = (distanceNm(base, sortie.place) / aircraft.cruise_kt) * HOUR
  let now = Math.round(off + leg + random.whole(5, 14) * MINUTE)
  const commonly = {
    aircraft: aircraft.registration,
    fire: sortie.fire?.number ?? null,
    fire_stated: sortie.fire !== null && sortie.stated,
    openings: 1,
  }
  const drop = (what: Omit<Release, 'day'>): void => {
    events.drops.push(release(state, { ...what, day: dayOf(what.at, base.zone) }, random))
  }
  const fitting = patterns.filter(([shares]) => shares.reduce((sum, one) => sum + one, 0) <= state.shareLeft)
  const planned = sortie.kind === 'called-off' || fitting.length === 0 ? [] : random.weighted(fitting)
  const start = state.level_gal
  for (const fraction of planned) {
    const commanded = Math.round((fraction * state.full_gal * 0.94) / 10) * 10
    const miss = biasNow(state, sortie.seasonShare) + random.normal(0, sortie.noise)
    const volume = Math.min(state.level_gal, Math.max(1, Math.round(commanded * (1 + miss))))
    if (commanded < 10 || volume < 1) break
    state.shareLeft -= fraction
    const radius = (sortie.fire?.radius_nm ?? 2) * 0.55
    drop({
      ...commonly,
      at: now,
      purpose: sortie.kind === 'training' ? 'training' : 'fire',
      volume_gal: volume,
      commanded_gal: commanded,
      coverage_level: sortie.fire ? random.pick(usualCoverage[sortie.fire.fuel]!) : 2,
      fraction,
      place: offsetPoint(sortie.place, random.between(0, radius), random.between(0, 360)),
      openings: random.chance(0.02) ? 2 : 1,
      doors: doorsMoved(state, fraction),
    })
    now += random.whole(110, 540)
  }
  const far = between(base, sortie.place, random.between(0.5, 0.9))
  const letGo = { ...commonly, fire: null, fire_stated: false, commanded_gal: null, coverage_level: null }
  const all = { volume_gal: state.level_gal, fraction: null, place: far, doors: doorsMoved(state, null) }
  if (state.level_gal > start * 0.3 && random.chance(0.35)) {
    now += random.whole(120, 600)
    drop({ ...letGo, ...all, at: now, purpose: 'jettison' })
  }
  const keeps = state.level_gal > state.tank.capacity_gal * 0.08
  const home = keeps ? base : sortie.returnTo
  const back = (distanceNm(sortie.place, home) / aircraft.cruise_kt) * HOUR
  fly(crew, home, off, ceilMinute(now + back + random.whole(4, 9) * MINUTE), sortie.place, events)
}
