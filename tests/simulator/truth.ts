import type { Point } from './geo.ts'

export type Witness = 'controller' | 'crew' | 'tracker' | 'ticket' | 'dispatch'
export type Fluid = 'water' | 'retardant' | 'gel' | 'foam'
export type Purpose = 'fire' | 'jettison' | 'emergency' | 'training' | 'ground-test'

export interface TrueBase extends Point {
  code: string
  name: string
  zone: string
  aliases: string[]
  meter_class: string
  fluid: Fluid
  /** What the base's meter reads for one gallon. */
  meter_factor: number
}

export interface TrueAircraft {
  registration: string
  call_number: string
  type_designator: string
  class: string
  max_load_gal: number
  cruise_kt: number
  max_speed_kt: number
  home: string
  /** `a`: daily record numbers, CSV; `b`: record numbers unique in the season, JSON lines, traces. */
  controller: 'a' | 'b'
}

export interface TrueTank {
  serial: string
  part_number: string
  capacity_gal: number
  doors: number
  door_use: 'together' | 'in-sequence'
  flow: 'constant' | 'gravity'
  peak_flow_gal_s: number
  pattern_width_ft: number
}

export interface Interval {
  on: number
  off: number | null
}
export interface TrueMounting extends Interval {
  tank: string
  aircraft: string
}
export interface TrueComponent {
  serial: string
  kind: string
  part_number: string
}
export interface TrueFitting extends Interval {
  component: string
  tank: string
  position: string
}
export interface TrueBaseline {
  item: string
  counter: string
  value: number
  at: number
}

export interface TrueFire extends Point {
  number: string
  name: string
  started: number
  ended: number
  fuel: string
  radius_nm: number
  aliases: string[]
}

/** Everything on record before the first log. Times are seconds since 1970, UTC. */
export interface World {
  start: number
  days: number
  year: number
  bases: TrueBase[]
  aircraft: TrueAircraft[]
  tanks: TrueTank[]
  mountings: TrueMounting[]
  components: TrueComponent[]
  fittings: TrueFitting[]
  baselines: TrueBaseline[]
  fires: TrueFire[]
}

interface Event {
  /** Seconds since 1970, UTC. */
  at: number
  /** Operating day. */
  day: string
  aircraft: string
  tank: string
  /** The controller's own number of it. */
  record: string
  /** Who wrote it down, in the end. */
  witnesses: Witness[]
}

export interface TrueDrop extends Event {
  id: string
  dropped_at: string
  base: string | null
  load: string | null
  flight: string | null
  /** Fire number; null where no fire on record was near. */
  fire: string | null
  /** False where the crew named no fire, so that only the position tells. */
  fire_stated: boolean
  volume_gal: number
  commanded_gal: number | null
  coverage_level: number | null
  fraction: number | null
  fluid: Fluid | null
  purpose: Purpose
  openings: number
  doors: number[]
  latitude: number
  longitude: number
  height_ft: number
  groundspeed_kt: number
  duration_s: number
  /** Level in the tank before it, gal. */
  level_gal: number
}

export interface TrueLoad extends Event {
  id: string
  loaded_at: string
  started: number
  base: string
  ticket: string
  volume_gal: number
  target_gal: number
  overflow: boolean
  fluid: Fluid
  gauge_before_gal: number
  gauge_after_gal: number
}

export interface TrueOffload extends Event {
  id: string
  offloaded_at: string
  base: string
  volume_gal: number
  fluid: Fluid
}

export interface TrueFlight {
  id: string
  off: number
  on: number
  off_at: string
  on_at: string
  day: string
  aircraft: string
  tank: string
  from_base: string
  to_base: string
  ordered: number
  airborne_hours: number
  /** Furthest point of the flight. */
  target: Point
  witnesses: Witness[]
}

export interface Events {
  drops: TrueDrop[]
  loads: TrueLoad[]
  offloads: TrueOffload[]
  flights: TrueFlight[]
}
