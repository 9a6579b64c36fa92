import { driftsOf } from './adjustments.ts'
import { DAY, dayOf, fromLocal, HOUR, MINUTE } from './clock.ts'
import { finish } from './finish.ts'
import { distanceNm, offsetPoint, type Point } from './geo.ts'
import type { Settings } from './options.ts'
import type { Random } from './random.ts'
import { type Crew, ceilMinute, fill, fly, flySortie, offload, type Sortie } from './sortie.ts'
import { type DriftTruth, release, type TankState, tankStates } from './tank-state.ts'
import type { Events, TrueBase, TrueFire, World } from './truth.ts'

const reachNm = 150

/** How much a fire asks for on a day, most in its second and third day. */
function appetite(fire: TrueFire, noon: number): number {
  if (noon < fire.started - 4 * HOUR || noon > fire.ended) return 0
  return 1 / (1 + Math.abs((noon - fire.started) / DAY - 1.5))
}

/** Local hours within which a crew may drop, well inside daylight at these latitudes. */
function lastHour(at: number): number {
  const month = new Date(at * 1000).getUTCMonth()
  return month >= 9 || month <= 3 ? 17.2 : month === 8 ? 18.2 : 19.4
}

/** A smoke that nobody has put on record: no fire of the season lies near enough to be taken for it. */
function unlistedPlace(world: World, base: TrueBase, random: Random): Point | null {
  for (let attempt = 0; attempt < 20; attempt++) {
    const place = offsetPoint(base, random.between(15, 60), random.between(0, 360))
    if (world.fires.every((fire) => distanceNm(place, fire) > fire.radius_nm + 6)) return place
  }
  return null
}

function testDoors(crew: Crew, at: number, events: Events, random: Random): void {
  const { state, aircraft, base } = crew
  const doors = random.chance(0.5)
    ? Array.from({ length: state.tank.doors }, (_, index) => index + 1)
    : [random.whole(1, state.tank.doors)]
  const what = {
    at,
    day: dayOf(at, base.zone),
    aircraft: aircraft.registration,
    purpose: 'ground-test' as const,
    volume_gal: 0,
    commanded_gal: null,
    coverage_level: null,
    fraction: null,
    place: base,
    fire: null,
    fire_stated: false,
    openings: random.whole(1, 3),
    doors,
  }
  events.drops.push(release(state, what, random))
}

function chooseSortie(
  world: World,
  settings: Settings,
  crew: Crew,
  burning: TrueFire[],
  dayIndex: number,
  random: Random,
): Sortie | null {
  const shared = { stated: !random.chance(settings.unstated), noise: settings.releaseNoisePct / 100 }
  const rest = { ...shared, returnTo: crew.base, seasonShare: dayIndex / world.days }
  if (random.chance(0.012)) {
    const place = unlistedPlace(world, crew.base, random)
    if (place) return { kind: 'fire', fire: null, place, ...rest }
  }
  const near = burning.filter((fire) => distanceNm(fire, crew.base) < reachNm)
  if (near.length === 0) return null
  const fire = random.weighted(near.map((one) => [one, appetite(one, crew.ready)] as const))
  const nearest = [...world.bases].sort((a, b) => distanceNm(a, fire) - distanceNm(b, fire))[0]!
  const kind = random.chance(0.035) ? 'called-off' : 'fire'
  return { kind, fire, place: fire, ...rest, returnTo: random.chance(0.5) ? nearest : crew.base }
}

/** One aircraft's day: from the first test of the doors to the last drop that daylight allows. */
function workDay(
  world: World,
  settings: Settings,
  crew: Crew,
  dayIndex: number,
  wanted: number,
  events: Events,
  random: Random,
): void {
  const midnight = world.start + dayIndex * DAY
  const { state } = crew
  const noon = fromLocal(crew.base.zone, midnight + 12 * HOUR)
  const end = fromLocal(crew.base.zone, midnight + lastHour(midnight) * HOUR)
  crew.ready = fromLocal(crew.base.zone, midnight + random.between(8, 10.5) * HOUR) | 0
  if (random.chance(0.07)) testDoors(crew, crew.ready - random.whole(60, 90) * MINUTE, events, random)
  if (dayIndex < 10 && random.chance(0.3)) {
    fill(crew, events, random, 'water')
    const place = offsetPoint(crew.base, 12, random.between(0, 360))
    const clear = world.fires.every((fire) => distanceNm(fire, place) > fire.radius_nm + 4)
    const kind = clear ? 'training' : 'called-off'
    const returnTo = crew.base
    flySortie(
      crew,
      { kind, fire: null, place, stated: false, returnTo, seasonShare: 0, noise: 0.02 },
      events,
      random,
    )
  }
  if (wanted === 0) return
  const burning = world.fires.filter((fire) => fire.started < noon - 4 * HOUR && fire.ended > noon + 9 * HOUR)
  const target =
    burning.length > 0 ? random.weighted(burning.map((one) => [one, appetite(one, noon)] as const)) : null
  if (target && distanceNm(target, crew.base) > reachNm) {
    if (state.level_gal > 0) offload(crew, crew.ready + 10 * MINUTE, events)
    const to = [...world.bases].sort((a, b) => distanceNm(a, target) - distanceNm(b, target))[0]!
    const off = ceilMinute(crew.ready) + 15 * MINUTE
    const leg = (distanceNm(crew.base, to) / crew.aircraft.cruise_kt) * HOUR
    fly(crew, to, off, ceilMinute(off + leg + 8 * MINUTE), to, events)
  }
  const done = (): number => events.drops.length
  const first = done()
  for (let turn = 0; turn < 14 && done() - first < wanted; turn++) {
    const sortie = chooseSortie(world, settings, crew, burning, dayIndex, random)
    if (!sortie) return
    const out = (distanceNm(crew.base, sortie.place) / crew.aircraft.cruise_kt) * HOUR
    if (crew.ready + out + 75 * MINUTE > end) return
    if (state.level_gal < state.tank.capacity_gal * 0.5) fill(crew, events, random)
    flySortie(crew, sortie, events, random)
  }
}

/** The whole season, day by day and aircraft by aircraft, as it truly happened. */
export function operate(
  world: World,
  settings: Settings,
  random: Random,
): { events: Events; drifts: DriftTruth[] } {
  const events: Events = { drops: [], loads: [], offloads: [], flights: [] }
  const states: Map<string, TankState> = tankStates(world, settings, random.fork('tanks'))
  const bases = new Map(world.bases.map((base) => [base.code, base]))
  const noons = Array.from({ length: world.days }, (_, day) => world.start + day * DAY + 20 * HOUR)
  const asked = noons.map((noon) => world.fires.reduce((sum, fire) => sum + appetite(fire, noon), 0))
  const mean = asked.reduce((sum, one) => sum + one, 0) / world.days || 1
  const fleet = world.aircraft.map((aircraft) => ({
    aircraft,
    chance: random.fork(aircraft.registration),
    mountings: world.mountings.filter((one) => one.aircraft === aircraft.registration),
    base: bases.get(aircraft.home)!,
  }))
  for (let day = 0; day < world.days; day++) {
    for (const member of fleet) {
      const { aircraft, chance, mountings, base } = member
      const morning = fromLocal(base.zone, world.start + day * DAY + 6 * HOUR)
      const mounted = mountings.find((one) => one.on <= morning && (one.off ?? Infinity) > morning)
      if (!mounted) continue
      const crew: Crew = { aircraft, state: states.get(mounted.tank)!, base, ready: morning }
      const level = (settings.dropsPerDay / settings.aircraft) * (asked[day]! / mean)
      const wanted = chance.chance(0.04) ? 0 : chance.poisson(level * chance.between(0.5, 1.5))
      if (mounted.on > morning - DAY) testDoors(crew, morning + 30 * MINUTE, events, chance)
      workDay(world, settings, crew, day, wanted, events, chance)
      member.base = crew.base
      const six = fromLocal(crew.base.zone, world.start + day * DAY + 18 * HOUR)
      const evening = Math.max(crew.ready + 15 * MINUTE, six)
      const comesOff = mounted.off !== null && mounted.off < evening + 14 * HOUR
      const emptied = comesOff || day === world.days - 1 || chance.chance(0.35)
      if (emptied) offload(crew, evening, events)
    }
  }
  declareEmergencies(world, settings.emergencies, events)
  finish(world, events)
  return { events, drifts: driftsOf(world, settings, events) }
}

/** The largest jettison of each equal part of the season becomes an emergency: the whole rest let go at once. */
function declareEmergencies(world: World, count: number, events: Events): void {
  const length = (world.days * DAY) / count
  for (let part = 0; part < count; part++) {
    const from = world.start + part * length
    const own = events.drops.filter(
      (drop) => drop.purpose === 'jettison' && drop.at >= from && drop.at < from + length + 8 * HOUR,
    )
    const largest = own.sort((a, b) => b.volume_gal - a.volume_gal)[0]
    if (largest) largest.purpose = 'emergency'
  }
}
