import { median } from '../statistics/index.ts'
import { type DoorSpan, doorsNeeded } from './doors-needed.ts'

/** Order of steps at one moment: fluid goes in before it goes out. */
export const Step = { Load: 0, Drop: 1, Offload: 2 } as const

/** Share of the capacity that tells a release nobody wrote down from noise. */
export const unrecordedShare = 0.08
const overfillOnGauge = 1.02

export interface Tank {
  /** Null when nothing is on record: then nothing can be missing or too much. */
  capacity_gal: number | null
  doors: number
  opensInSequence: boolean
  /** Median volume of one of its drops, over drops of every purpose that released something. */
  typical_gal: number | null
  /** What the cycle before the first step left, when the walk does not begin at the beginning; then the first step is a load. */
  before: { closing_gal: number; missing_gal: number; isUnknown: boolean } | null
}

/**
 * The steps of every tank as columns, ordered by tank, time, load before drop before offload, and id.
 * NaN where nothing is known. `volume` is a load's corrected volume, a drop's witnessed volume, an offload's volume.
 */
export interface Steps {
  count: number
  tank: Float64Array
  step: Float64Array
  row: Float64Array
  time_ms: Float64Array
  volume: Float64Array
  /** Load volume as witnessed, before the meter correction: what a fraction is a share of. */
  written: Float64Array
  gauge_before: Float64Array
  gauge_after: Float64Array
  fraction: Float64Array
  commanded: Float64Array
  isOverflow: Float64Array
  isEmergency: Float64Array
  isGroundTest: Float64Array
  isDoorsNamed: Float64Array
}

export const Basis = { Fraction: 1, Balance: 2 } as const
export type Basis = (typeof Basis)[keyof typeof Basis]

/** What the walk found out about a drop; only drops about which there is something to say. */
export interface DropFact {
  row: number
  volume: number
  basis: Basis | null
  isLoadMissing: boolean
  isCommandAboveLevel: boolean
  doors: DoorSpan | null
}

/** One load cycle: from a load (NaN before the first one) to the next (NaN while open). Volumes in gal. */
export interface Cycle {
  tank: number
  loadRow: number
  first_ms: number
  closedRow: number
  loaded: number
  dropped: number
  offloaded: number
  levelBefore: number
  levelAfter: number
  levelAtClose: number
  residual: number
  missing: number
  inferred: number
  /** Median of its releases on record, where one of like size was missed; NaN for none. */
  part: number
  short: number
  isOverfill: boolean
}

export interface Walked {
  drops: DropFact[]
  cycles: Cycle[]
}

/**
 * Walks every tank's loads, drops and offloads in time order and keeps the level on the scale of the tank's gauge.
 * A pure function of its columns: the same steps give the same result to the last bit.
 */
export function walk(steps: Steps, tanks: readonly Tank[]): Walked {
  const out: Walked = { drops: [], cycles: [] }
  let start = 0
  while (start < steps.count) {
    const number = steps.tank[start]!
    let end = start
    while (end < steps.count && steps.tank[end] === number) end++
    walkTank(steps, start, end, tanks[number]!, out)
    start = end
  }
  return out
}

function walkTank(steps: Steps, start: number, end: number, tank: Tank, out: Walked): void {
  const capacity = tank.capacity_gal ?? Number.POSITIVE_INFINITY
  const margin = unrecordedShare * capacity
  const typical = tank.typical_gal
  let level = 0
  let cycle = newCycle(steps, start, Number.NaN)
  let written = Number.NaN
  let unknown: DropFact[] = []
  let parts: number[] = []
  let isLoadMissing = false
  let hasSteps = false

  for (let i = start; i < end; i++) {
    const volume = steps.volume[i]!
    if (steps.step[i] === Step.Load) {
      const carried = i === start ? tank.before : null
      level = carried
        ? levelFrom(steps.gauge_before[i]!, carried.closing_gal, carried.missing_gal)
        : closeCycle(cycle, steps, i, level, unknown, capacity, margin, parts, typical)
      if (!Number.isNaN(cycle.loadRow) || hasSteps) out.cycles.push(cycle)
      const before = carried ? carried.closing_gal : cycle.levelAtClose
      cycle = newCycle(steps, i, steps.row[i]!)
      cycle.loaded = volume
      cycle.levelBefore = before
      const isLevelKnown = carried ? !carried.isUnknown : !unknown.some((fact) => Number.isNaN(fact.volume))
      cycle.isOverfill = isOverfill(steps, i, isLevelKnown ? level : 0, capacity)
      const after = steps.gauge_after[i]!
      level = Number.isNaN(after) ? Math.min(capacity, Math.max(0, level) + orZero(volume)) : after
      cycle.levelAfter = level
      written = steps.written[i]!
      unknown = []
      parts = []
      isLoadMissing = false
      continue
    }
    hasSteps = true
    if (steps.step[i] === Step.Offload) {
      cycle.offloaded += orZero(volume)
      level = Math.max(0, level - orZero(volume))
      continue
    }
    const fact: DropFact = {
      row: steps.row[i]!,
      volume: Number.NaN,
      basis: null,
      isLoadMissing,
      isCommandAboveLevel: steps.commanded[i]! > Math.max(0, level) + margin,
      doors: null,
    }
    const before = level
    let released = volume
    if (Number.isNaN(released) && !steps.isGroundTest[i]) {
      // What was left is known from the loads on record; without one nobody knows, and that is not nothing.
      const isLevelKnown = level > 0 || (!Number.isNaN(written) && !isLoadMissing)
      if (steps.isEmergency[i] && isLevelKnown) settle(fact, Math.max(0, level), Basis.Balance)
      else if (steps.fraction[i]! > 0)
        settle(fact, ofFraction(steps.fraction[i]!, written, level, capacity), Basis.Fraction)
      else unknown.push(fact)
      released = fact.volume
    }
    if (!Number.isNaN(released)) {
      cycle.dropped += released
      if (released > margin) parts.push(released)
      level -= Math.min(released, capacity)
    }
    if (steps.isEmergency[i]) {
      if (level < -margin) {
        cycle.short += -level
        isLoadMissing = true
        fact.isLoadMissing = true
      }
      level = 0
    } else if (level < -margin) {
      cycle.short += -level
      isLoadMissing = true
      fact.isLoadMissing = true
      level = 0
    }
    if (tank.opensInSequence && !steps.isDoorsNamed[i]) {
      fact.doors = doorsNeeded(tank.doors, before, released, cycle.levelAfter, capacity)
    }
    if (
      fact.basis !== null ||
      fact.isLoadMissing ||
      fact.isCommandAboveLevel ||
      fact.doors ||
      unknown.at(-1) === fact
    ) {
      out.drops.push(fact)
    }
  }
  cycle.levelAtClose = level
  if (!Number.isNaN(cycle.loadRow) || hasSteps) out.cycles.push(cycle)
}

/**
 * Closes a cycle at the next load: settles the one unknown drop, or infers openings when too much is missing: as large as
 * those of the load that are on record (`parts`, gal), else as the tank's are.
 * Returns the level that the load starts from.
 */
function closeCycle(
  cycle: Cycle,
  steps: Steps,
  at: number,
  walked: number,
  unknown: DropFact[],
  capacity: number,
  margin: number,
  parts: readonly number[],
  typical: number | null,
): number {
  let level = walked
  const gauge = steps.gauge_before[at]!
  const hasGauge = !Number.isNaN(gauge)
  const load = orZero(steps.volume[at]!)
  const isWildLoad = load > capacity + margin
  const excess = hasGauge
    ? level - gauge
    : isWildLoad
      ? 0
      : Math.min(Math.max(0, level), level + load - capacity)
  if (unknown.length === 1 && excess > (hasGauge ? 0 : margin)) {
    settle(unknown[0]!, excess, Basis.Balance)
    cycle.dropped += excess
    level -= excess
  } else if (unknown.length === 0 && excess > margin) {
    cycle.missing = excess
    cycle.part = median(parts) ?? Number.NaN
    const usual = Number.isNaN(cycle.part) ? typical : cycle.part
    cycle.inferred = Math.max(1, usual === null ? 1 : Math.round(excess / usual))
  }
  cycle.closedRow = steps.row[at]!
  cycle.levelAtClose = level
  if (hasGauge) cycle.residual = level - gauge
  return levelFrom(gauge, level, cycle.missing)
}

/** The level that a load starts from: the gauge's, else what the walk left less what left unrecorded. */
function levelFrom(gauge: number, closing: number, missing: number): number {
  return Number.isNaN(gauge) ? closing - missing : gauge
}

/** Marked as overflowed, above the capacity on the gauge, or (no gauge) more than fits on the level left. */
function isOverfill(steps: Steps, at: number, level: number, capacity: number): boolean {
  if (steps.isOverflow[at]) return true
  const after = steps.gauge_after[at]!
  if (!Number.isNaN(after)) return after > overfillOnGauge * capacity
  if (!Number.isNaN(steps.gauge_before[at]!)) return false
  return Math.max(0, level) + orZero(steps.volume[at]!) > (1 + unrecordedShare) * capacity
}

function newCycle(steps: Steps, at: number, loadRow: number): Cycle {
  return {
    tank: steps.tank[at]!,
    loadRow,
    first_ms: steps.time_ms[at]!,
    closedRow: Number.NaN,
    loaded: 0,
    dropped: 0,
    offloaded: 0,
    levelBefore: Number.NaN,
    levelAfter: 0,
    levelAtClose: Number.NaN,
    residual: Number.NaN,
    missing: 0,
    inferred: 0,
    part: Number.NaN,
    short: 0,
    isOverfill: false,
  }
}

/** A share of the load, at most the level left; of the capacity only when the load is unknown. */
function ofFraction(fraction: number, written: number, level: number, capacity: number): number {
  if (Number.isNaN(written)) return fraction * capacity
  return Math.min(fraction * written, Math.max(0, level))
}

function settle(fact: DropFact, volume: number, basis: Basis): void {
  if (!Number.isFinite(volume)) return
  fact.volume = volume
  fact.basis = basis
}

const orZero = (value: number): number => (Number.isNaN(value) ? 0 : value)
