import type { Witness } from './truth.ts'

export type InvoiceError =
  | 'arithmetic'
  | 'rate'
  | 'quantity-over'
  | 'quantity-under'
  | 'duplicate'
  | 'no-evidence'
  | 'outside-period'
  | 'not-on-contract'
  | 'unbilled'

/** One clock that is off on some days, or on some shares of the season. `offset_min` is its clock minus UTC. */
export interface ClockFault {
  witness: Witness
  aircraft: string
  from_day: string
  to_day: string
  offset_min: number
}

/** A tank whose release accuracy changes: after `from_share` of the season's days, until adjusted if ever. */
export interface DriftPlan {
  /** Index into the world's tanks. */
  tank: number
  shape: 'step' | 'ramp'
  /** Size of the step, or growth of the ramp per 20 drops, percent. */
  size_pct: number
  from_share: number
  adjusted_share: number | null
}

/** How far what people wrote is from what happened. The zero of every field is a perfect record. */
export interface Mess {
  /** Share of events that the witness never wrote. */
  missing: Partial<Record<Witness, number>>
  /** Runs of days on which one witness of one aircraft is an hour off, per witness and aircraft and 30 days. */
  hour_runs: number
  /** Share of witness × aircraft whose clock wanders, and how far it gets, minutes. */
  drift_share: number
  drift_min: number
  clock_faults: ClockFault[]
  /** Times are rounded to so many minutes. */
  round_min: Partial<Record<Witness, number>>
  /** Crew volumes are rounded to so many gallons. */
  round_gal: number
  /** Deviation of the controller's released volume and of its gauge, percent of the volume. */
  gauge_noise_pct: number
  ticket_noise_pct: number
  /** Spread of the bases' meter biases, percent; or each base's own. */
  meter_bias_pct: number | Record<string, number>
  sloppy_aircraft: number
  misspelt_fires: number
  /** Crew lines without purpose, fluid or position although known. */
  blanks: number
  units: boolean
  fraction_spellings: boolean
  position_notations: boolean
  /** Share of loads dropped in several parts that the crew wrote as one line. */
  crew_sums: number
  repeated_lines: number
  resent: boolean
  corrections: number
  overlaps: boolean
  unrecorded_releases: number
  unknown_aircraft_rows: number
  wild_values: number
  overfills: number
}

export interface SeasonOptions {
  seed: number
  aircraft?: number
  bases?: number
  days?: number
  /** First day, `2026-06-01`. */
  start?: string
  /** Mean `fire` drops of the whole fleet per day of the season. */
  dropsPerDay?: number
  /** `canonical`: logs under canonical headers; `trade`: logs under profiles. */
  layout?: 'canonical' | 'trade'
  releaseNoisePct?: number
  emergencies?: number
  /** Share of fire drops that the crew wrote without naming a fire. */
  unstated?: number
  drifts?: DriftPlan[]
  contracts?: boolean
  invoiceErrors?: Partial<Record<InvoiceError, number>>
  tiers?: boolean
  /** So many aircraft have tracker points, this many seconds apart. */
  positions?: number
  positionSeconds?: number
  /** Share of the drops of aircraft with a `b` controller that have a release trace. */
  traces?: number
  assessments?: number
  /** Days of one controller download, of one crew sheet, and of one flight log or ticket file. */
  downloadDays?: number
  sheetDays?: number
  logDays?: number
  /** How often a crew sheet is issued where sheets are re-sent. */
  issues?: number
  mess?: Partial<Mess>
}

export const cleanMess: Mess = {
  missing: {},
  hour_runs: 0,
  drift_share: 0,
  drift_min: 0,
  clock_faults: [],
  round_min: {},
  round_gal: 0,
  gauge_noise_pct: 0,
  ticket_noise_pct: 0,
  meter_bias_pct: 0,
  sloppy_aircraft: 0,
  misspelt_fires: 0,
  blanks: 0,
  units: false,
  fraction_spellings: false,
  position_notations: false,
  crew_sums: 0,
  repeated_lines: 0,
  resent: false,
  corrections: 0,
  overlaps: false,
  unrecorded_releases: 0,
  unknown_aircraft_rows: 0,
  wild_values: 0,
  overfills: 0,
}

/** The mess of an ordinary season: what a good operator's records look like at its end. */
export const ordinaryMess: Mess = {
  ...cleanMess,
  missing: { controller: 0.04, crew: 0.04, ticket: 0.03, tracker: 0.04 },
  hour_runs: 0.3,
  drift_share: 0.3,
  drift_min: 4,
  round_min: { crew: 5, ticket: 1 },
  round_gal: 50,
  gauge_noise_pct: 0.4,
  ticket_noise_pct: 0.5,
  meter_bias_pct: 2,
  sloppy_aircraft: 0.3,
  misspelt_fires: 0.08,
  blanks: 0.1,
  units: true,
  fraction_spellings: true,
  position_notations: true,
  crew_sums: 0.04,
  resent: true,
  corrections: 0.02,
  overlaps: true,
}

export type Settings = Required<Omit<SeasonOptions, 'mess'>> & { mess: Mess }

export function settle(options: SeasonOptions): Settings {
  return {
    aircraft: 6,
    bases: 3,
    days: 122,
    start: '2026-06-01',
    dropsPerDay: 5,
    layout: 'trade',
    releaseNoisePct: 2,
    emergencies: 2,
    unstated: 0.06,
    drifts: [],
    contracts: true,
    invoiceErrors: {},
    tiers: false,
    positions: 0,
    positionSeconds: 120,
    traces: 0,
    assessments: 0.2,
    downloadDays: 7,
    sheetDays: 14,
    logDays: 30,
    issues: 3,
    ...options,
    mess: { ...cleanMess, ...options.mess },
  }
}
