import type { Measure } from './units.ts'

/** How a column of an answer is shown. */
export interface Shown {
  readonly label: string
  /** `name`: a text that is never broken over lines. */
  readonly as?: Measure | 'time' | 'day' | 'record' | 'code' | 'name'
  /** Kind of record that the value opens, for `record`. */
  readonly kind?: string
  readonly digits?: number
}

const volume = (label: string): Shown => ({ label, as: 'volume' })
const record = (label: string, kind: string): Shown => ({ label, as: 'record', kind })
const count = (label: string): Shown => ({ label, as: 'count' })
const minutes = (label: string): Shown => ({ label, as: 'minutes' })
const time = (label: string): Shown => ({ label, as: 'time' })
const day = (label: string): Shown => ({ label, as: 'day' })
const money = (label: string): Shown => ({ label, as: 'money' })
const percent = (label: string): Shown => ({ label, as: 'percent' })
const share = (label: string): Shown => ({ label, as: 'share' })
const rate = (label: string): Shown => ({ label, as: 'volume-rate' })

/** One entry per column that a page may show; a column without one is shown by its own name. */
export const columns: Readonly<Record<string, Shown>> = {
  accepted: count('accepted'),
  aircraft: record('aircraft', 'aircraft'),
  airborne_hours: { label: 'airborne', as: 'hours' },
  arrived_at: time('arrived'),
  assessed: count('assessed'),
  base: record('base', 'base'),
  baseline: count('baseline'),
  bias_pct: percent('bias'),
  billed: money('billed'),
  billed_amount: money('billed'),
  billed_quantity: { label: 'billed qty', as: 'plain' },
  call_number: { label: 'call no.' },
  counter: { label: 'counter', as: 'name' },
  profile: { label: 'profile', as: 'name' },
  status: { label: 'status', as: 'name' },
  clock: { label: 'clock' },
  commanded_gal: volume('commanded'),
  counted: count('counted'),
  coverage_level: { label: 'CL', as: 'coverage' },
  day: day('day'),
  from_base: record('from', 'base'),
  to_base: record('to', 'base'),
  difference: money('difference'),
  difference_amount: money('difference'),
  door_cycles: count('door cycles'),
  drop: record('drop', 'drop'),
  dropped_at: time('dropped'),
  dropped_gal: volume('dropped'),
  drops: count('drops'),
  due_on_p10: day('due, 10 %'),
  due_on_p50: day('due, 50 %'),
  due_on_p90: day('due, 90 %'),
  duplicate: count('duplicate'),
  effective: count('effective'),
  events: count('events'),
  ewma_pct: percent('EWMA'),
  field: { label: 'column' },
  file: { label: 'file', as: 'code' },
  fill_min: minutes('fill'),
  fire: record('fire', 'fire'),
  first_at: time('first drop'),
  flight: record('flight', 'flight'),
  flight_hours: { label: 'flight hours', as: 'hours' },
  flights: count('flights'),
  foam_gal: volume('foam'),
  forecasts: count('forecasts'),
  held_share: percent('held'),
  counted_through: day('counted through'),
  fraction: { label: 'split', as: 'plain' },
  from_at: time('from'),
  from_drop: record('first drop of the run', 'drop'),
  fuel: { label: 'fuel' },
  gallons: volume('delivered'),
  gallons_per_airborne_hour: rate('per airborne hour'),
  gallons_per_flight_hour: rate('per flight hour'),
  gallons_per_mission_hour: rate('per mission hour'),
  gallons_without_flight: volume('flight not known'),
  gel_gal: volume('gel'),
  governs: { label: 'governs' },
  group_name: { label: 'group' },
  happened_at: time('when'),
  high_pct: percent('high, 95 %'),
  hold_min: minutes('hold'),
  horizon_days: count('horizon, days'),
  inferred: count('inferred'),
  inside_80: count('held'),
  interaction_rate: share('met fire'),
  invoice: { label: 'invoice', as: 'code' },
  item: { label: 'item', as: 'code' },
  latitude: { label: 'latitude', as: 'degree' },
  longitude: { label: 'longitude', as: 'degree' },
  last_arrived_at: time('last arrived'),
  last_at: time('last drop'),
  limit_at: { label: 'limit', as: 'count' },
  limit_pct: percent('limit'),
  line: { label: 'line', as: 'code' },
  load: record('load', 'load'),
  loaded_at: time('loaded'),
  loaded_gal: volume('loaded'),
  loads: count('loads'),
  low_pct: percent('low, 95 %'),
  made_at: time('made'),
  made_by: { label: 'by' },
  median_min: minutes('median'),
  median_turnaround_min: minutes('median turnaround'),
  met_fire: count('met fire'),
  mission_hours: { label: 'mission', as: 'hours' },
  not_effective: count('not effective'),
  off_at: time('off'),
  offloaded_gal: volume('offloaded'),
  offset_min: { label: 'reads late by, min', as: 'plain', digits: 1 },
  on_at: time('on'),
  opened_at: time('opened'),
  openings: count('openings'),
  out_min: minutes('out'),
  p90_min: minutes('90 %'),
  pairs: count('pairs'),
  path: { label: 'file', as: 'code' },
  quarantined: count('quarantined'),
  read: count('read'),
  recorded: count('recorded'),
  remaining: { label: 'remaining', as: 'count' },
  residual_gal: volume('residual'),
  retardant_gal: volume('retardant'),
  scene_min: minutes('on scene'),
  since_last: count('since last done'),
  success_rate: share('effective'),
  superseded: count('superseded'),
  supported: money('supported'),
  supported_amount: money('supported'),
  supported_quantity: { label: 'supported qty', as: 'plain' },
  back_min: minutes('back'),
  tank: record('tank', 'tank'),
  ticket: { label: 'ticket', as: 'code' },
  total: count('total'),
  turnarounds: count('turnarounds'),
  volume_gal: volume('volume'),
  water_gal: volume('water'),
  window: { label: '10 % to 90 %' },
  worth: money('worth'),
}

export function shownAs(name: string): Shown {
  return columns[name] ?? { label: name.replaceAll('_', ' ') }
}

const numeric = new Set<string>([
  'volume',
  'volume-rate',
  'flow',
  'length',
  'distance',
  'speed',
  'hours',
  'minutes',
  'percent',
  'share',
  'money',
  'count',
  'coverage',
  'degree',
  'seconds',
  'plain',
])

export function measureOf(shown: Shown): Measure | null {
  return shown.as && numeric.has(shown.as) ? (shown.as as Measure) : null
}
