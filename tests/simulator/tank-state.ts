import { iso } from './clock.ts'
import type { Point } from './geo.ts'
import type { DriftPlan, Settings } from './options.ts'
import type { Random } from './random.ts'
import type { Fluid, Purpose, TrueDrop, TrueLoad, TrueTank, World } from './truth.ts'

/** What a tank holds and how well it measures, from drop to drop. */
export interface TankState {
  tank: TrueTank
  level_gal: number
  fluid: Fluid | null
  load: TrueLoad | null
  /** Level right after the last fill, and the share of it not yet asked for. */
  full_gal: number
  shareLeft: number
  nextDoor: number
  /** Error of the setting before any drift, as a share. */
  bias: number
  drift: DriftPlan | null
  driftDrops: number
  adjusted: boolean
}

/** A drift as it came about: its first drop, and the night on which the tank was adjusted. */
export interface DriftTruth {
  tank: string
  shape: 'step' | 'ramp'
  size_pct: number
  from_drop: string | null
  from_at: string | null
  adjusted_at: string | null
  /** Drops with a command before, while drifting, and after the adjustment. */
  drops: [number, number, number]
}

export function tankStates(world: World, settings: Settings, random: Random): Map<string, TankState> {
  return new Map(
    world.tanks.map((tank, index) => [
      tank.serial,
      {
        tank,
        level_gal: 0,
        fluid: null,
        load: null,
        full_gal: 0,
        shareLeft: 0,
        nextDoor: 1,
        bias: random.normal(0, 0.004),
        drift: settings.drifts.find((plan) => plan.tank === index) ?? null,
        driftDrops: 0,
        adjusted: false,
      },
    ]),
  )
}

/** Share by which the tank's releases miss the command now, beyond the noise of each drop. */
export function biasNow(state: TankState, seasonShare: number): number {
  const plan = state.drift
  if (!plan || state.adjusted || seasonShare < plan.from_share) return state.bias
  if (plan.adjusted_share !== null && seasonShare >= plan.adjusted_share) {
    state.adjusted = true
    return state.bias
  }
  state.driftDrops++
  const size = plan.size_pct / 100
  return state.bias + (plan.shape === 'step' ? size : (size * state.driftDrops) / 20)
}

/** Doors that a share of the load moves: all together, or the next ones in turn. */
export function doorsMoved(state: TankState, fraction: number | null): number[] {
  const { doors, door_use } = state.tank
  const every = Array.from({ length: doors }, (_, index) => index + 1)
  if (door_use === 'together' || fraction === null || fraction >= 1) return every
  const moved: number[] = []
  for (let count = Math.ceil(fraction * doors - 1e-9); count > 0; count--) {
    moved.push(state.nextDoor)
    state.nextDoor = (state.nextDoor % doors) + 1
  }
  return moved.sort((a, b) => a - b)
}

export interface Release {
  at: number
  day: string
  aircraft: string
  purpose: Purpose
  volume_gal: number
  commanded_gal: number | null
  coverage_level: number | null
  fraction: number | null
  place: Point
  fire: string | null
  fire_stated: boolean
  openings: number
  doors: number[]
}

/**
 * Mean flow that lays the level set over the tank's pattern at that ground speed, US gal/s, as far as the tank can
 * give it; without a level set, or on the ground, all it can give. A gallon per 100 square feet, times width and speed.
 */
export function flowFor(tank: TrueTank, coverage_level: number | null, groundspeed_kt: number): number {
  const most = tank.peak_flow_gal_s * (tank.flow === 'constant' ? 1 : 0.75)
  if (coverage_level === null || groundspeed_kt === 0) return most
  const feetPerSecond = (groundspeed_kt * 1852) / 0.3048 / 3600
  return Math.min(most, (coverage_level / 100) * tank.pattern_width_ft * feetPerSecond)
}

/** Takes the volume out of the tank and gives the drop; ids, records and flights are given afterwards. */
export function release(state: TankState, what: Release, random: Random): TrueDrop {
  const level = state.level_gal
  const onGround = what.purpose === 'ground-test'
  state.level_gal = level - what.volume_gal
  const height_ft = onGround ? 0 : random.whole(150, 290)
  const groundspeed_kt = onGround ? 0 : random.whole(112, 140)
  const flow = flowFor(state.tank, what.coverage_level, groundspeed_kt)
  return {
    id: '',
    at: what.at,
    dropped_at: iso(what.at),
    day: what.day,
    aircraft: what.aircraft,
    tank: state.tank.serial,
    record: '',
    witnesses: [],
    base: onGround ? null : (state.load?.base ?? null),
    load: onGround ? null : (state.load?.id ?? null),
    flight: null,
    fire: what.fire,
    fire_stated: what.fire_stated,
    volume_gal: what.volume_gal,
    commanded_gal: what.commanded_gal,
    coverage_level: what.coverage_level,
    fraction: what.fraction,
    fluid: onGround ? null : state.fluid,
    purpose: what.purpose,
    openings: what.openings,
    doors: what.doors,
    latitude: what.place.latitude,
    longitude: what.place.longitude,
    height_ft,
    groundspeed_kt,
    duration_s: Math.round((what.volume_gal / flow) * 10 + 4) / 10,
    level_gal: level,
  }
}
