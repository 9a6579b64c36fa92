import { basename, relative } from 'node:path'
import {
  type FoundFile,
  isProblem,
  type Profile,
  type Recognized,
  recognize,
  type SourceProblem,
} from '../sources/index.ts'

/** A file and what it was recognised as. */
export interface Arrival {
  readonly file: FoundFile
  readonly known: Recognized | SourceProblem
}

/**
 * Recognises files and puts them in the order in which they count as arrived: when they were issued, where their profile
 * says so; then when they were last modified; then by name.
 */
export async function arrivalsInOrder(
  files: readonly FoundFile[],
  profiles: readonly Profile[],
): Promise<Arrival[]> {
  const arrivals: Arrival[] = []
  for (const file of files) arrivals.push({ file, known: await recognize(file, profiles) })
  const moment = (arrival: Arrival) =>
    (isProblem(arrival.known) ? null : arrival.known.issuedAt) ?? arrival.file.modifiedAt.toISOString()
  const keyed = arrivals.map((arrival) => ({
    arrival,
    key: [
      moment(arrival),
      arrival.file.modifiedAt.toISOString(),
      basename(arrival.file.path),
      arrival.file.path,
    ],
  }))
  keyed.sort((a, b) => compare(a.key, b.key))
  return keyed.map((one) => one.arrival)
}

function compare(a: readonly string[], b: readonly string[]): number {
  for (const [i, part] of a.entries()) {
    if (part < b[i]!) return -1
    if (part > b[i]!) return 1
  }
  return 0
}

/** A problem as one sentence: where, what, what to do. */
export function sentence(problem: SourceProblem, folder = process.cwd()): string {
  const path = relative(folder, problem.path)
  const where = path.startsWith('..') ? problem.path : path
  return `${where}${problem.line === null ? '' : `:${problem.line}`}: ${problem.what}; ${problem.fix}`
}
