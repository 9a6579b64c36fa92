import { adjustmentFiles } from './adjustments.ts'
import { type Answers, answersOf } from './answers.ts'
import { canonicalFiles } from './canonical-files.ts'
import { claimsOf, plantOddities } from './claims.ts'
import type { ClockOffset } from './clock-book.ts'
import { clockBook } from './clock-book.ts'
import { makePaperwork, type Paperwork } from './contracts.ts'
import { cycleAnswers, type TankCycle } from './cycles.ts'
import type { Fates, SeasonFile } from './files.ts'
import { inspectionFiles } from './inspections.ts'
import { type InvoiceErrorTruth, spoilInvoices } from './invoice-errors.ts'
import { operate } from './operations.ts'
import { type SeasonOptions, settle } from './options.ts'
import { type Assessment, assess, assessmentFile } from './outcomes.ts'
import { paperFiles } from './paper-files.ts'
import { createRandom } from './random.ts'
import { registryFiles } from './registry-files.ts'
import type { DriftTruth } from './tank-state.ts'
import { type TraceTruth, traceFiles } from './traces.ts'
import { trackingFiles } from './tracking.ts'
import { type LineTruth, tradeFiles } from './trade-files.ts'
import type { Events, TrueDrop, World } from './truth.ts'
import { makeWorld } from './world.ts'

export interface SeasonTruth extends Events {
  world: World
  /** Computed from the events that at least one witness wrote down. */
  answers: Answers
  /** Computed from all that happened, written down or not. */
  happened: Answers
  /**
   * Counts of what was written down at least once or left a gap of more than 8 % of the tank's capacity:
   * no total may be lower than these.
   */
  accountableCycles: TankCycle[]
  clockOffsets: ClockOffset[]
  /** What each line of a drop, load, offload or flight log tells of (trade layout). */
  lines: LineTruth[]
  /** Fates of each file's rows once the whole season is read; null for profiles. */
  fates: Record<string, Fates | null>
  papers: Paperwork | null
  invoiceErrors: InvoiceErrorTruth[]
  assessments: Assessment[]
  traces: TraceTruth[]
  drifts: DriftTruth[]
  /** Percent by which each base's meter reads high. */
  meterBias: { base: string; bias_pct: number }[]
  /** Releases that no witness wrote down. */
  unrecorded: TrueDrop[]
}

export interface Season {
  files: SeasonFile[]
  truth: SeasonTruth
}

const told = <T extends { witnesses: readonly string[] }>(events: readonly T[]): T[] =>
  events.filter((event) => event.witnesses.length > 0)

/** A season with known truth; the same options give the same bytes. */
export function simulate(options: SeasonOptions): Season {
  const settings = settle(options)
  const random = createRandom(settings.seed)
  const world = makeWorld(settings, random.fork('world'))
  const { events, drifts } = operate(world, settings, random.fork('operations'))
  const book = clockBook(world, settings, random.fork('clocks'))
  const desk = { world, events, settings, book, random: random.fork('witnesses') }
  plantOddities(desk)
  const claims = claimsOf(desk)
  const logs =
    settings.layout === 'canonical'
      ? { files: canonicalFiles(claims), lines: [] }
      : tradeFiles(world, claims, settings, random.fork('files'))
  const seen = {
    drops: told(events.drops),
    loads: told(events.loads),
    offloads: told(events.offloads),
    flights: told(events.flights),
  }
  const capacity = new Map(world.tanks.map((tank) => [tank.serial, tank.capacity_gal]))
  const leavesTrace = (drop: TrueDrop): boolean =>
    drop.witnesses.length > 0 || drop.volume_gal > capacity.get(drop.tank)! * 0.08
  const papers = settings.contracts
    ? makePaperwork(world, events, claims, settings, random.fork('contracts'))
    : null
  const invoiceErrors = papers ? spoilInvoices(papers, claims, settings, random.fork('invoices')) : []
  const assessments = assess(world, events, settings.assessments, random.fork('assessments'))
  const traces = traceFiles(world, events, settings.traces, random.fork('traces'))
  const { positions, positionSeconds } = settings
  const files = [
    ...registryFiles(world),
    ...inspectionFiles(world, events, random.fork('inspections')),
    ...adjustmentFiles(drifts),
    ...logs.files,
    ...(papers ? paperFiles(papers) : []),
    ...(assessments.length > 0 ? [assessmentFile(assessments)] : []),
    ...trackingFiles(world, events, book, positions, positionSeconds, random.fork('positions')),
    ...traces.files,
  ]
  return {
    files,
    truth: {
      ...events,
      world,
      answers: answersOf(world, seen),
      happened: answersOf(world, events),
      accountableCycles: cycleAnswers(world, {
        ...seen,
        drops: events.drops.filter(leavesTrace),
        flights: seen.flights,
      }),
      clockOffsets: book.asked(),
      lines: logs.lines,
      fates: Object.fromEntries(files.map((file) => [file.path, file.fates])),
      papers,
      invoiceErrors,
      assessments,
      traces: traces.truth,
      drifts,
      meterBias: world.bases.map(({ code, meter_factor }) => ({
        base: code,
        bias_pct: (meter_factor - 1) * 100,
      })),
      unrecorded: events.drops.filter((drop) => drop.witnesses.length === 0),
    },
  }
}
