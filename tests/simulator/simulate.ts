import { type Answers, answersOf } from './answers.ts'
import { canonicalFiles } from './canonical-files.ts'
import { claimsOf, hideReleases } from './claims.ts'
import type { ClockOffset } from './clock-book.ts'
import { clockBook } from './clock-book.ts'
import type { Fates, SeasonFile } from './files.ts'
import { operate } from './operations.ts'
import { type SeasonOptions, settle } from './options.ts'
import { createRandom } from './random.ts'
import { registryFiles } from './registry-files.ts'
import { type LineTruth, tradeFiles } from './trade-files.ts'
import type { Events, World } from './truth.ts'
import { makeWorld } from './world.ts'

export interface SeasonTruth extends Events {
  world: World
  /** Computed from the events that at least one witness wrote down. */
  answers: Answers
  /** Computed from all that happened, written down or not. */
  happened: Answers
  clockOffsets: ClockOffset[]
  /** What each line of a drop, load, offload or flight log tells of (trade layout). */
  lines: LineTruth[]
  fates: Record<string, Fates | null>
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
  const events = operate(world, settings, random.fork('operations'))
  const book = clockBook(world, settings, random.fork('clocks'))
  const desk = { world, events, settings, book, random: random.fork('witnesses') }
  hideReleases(desk)
  const claims = claimsOf(desk)
  const logs =
    settings.layout === 'canonical'
      ? { files: canonicalFiles(claims), lines: [] }
      : tradeFiles(world, claims, settings, random.fork('files'))
  const files = [...registryFiles(world), ...logs.files]
  const { drops, loads, offloads, flights } = events
  return {
    files,
    truth: {
      ...events,
      world,
      answers: answersOf(world, {
        drops: told(drops),
        loads: told(loads),
        offloads: told(offloads),
        flights: told(flights),
      }),
      happened: answersOf(world, events),
      clockOffsets: book.asked(),
      lines: logs.lines,
      fates: Object.fromEntries(files.map((file) => [file.path, file.fates])),
    },
  }
}
