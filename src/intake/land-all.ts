import { join } from 'node:path'
import {
  type FoundFile,
  isProblem,
  keepBytes,
  type Profile,
  prepare,
  type SourceProblem,
} from '../sources/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { arrivalsInOrder, sentence } from './arrivals.ts'
import type { IngestEffects } from './effects.ts'
import { Layouts, landRows } from './land.ts'
import type { FileFacts } from './raw-file.ts'
import type { FileReport } from './report.ts'

/** What became of the files of a run before their rows are typed. */
export interface LandedAll {
  readonly reports: { fileNo: number | null; report: FileReport }[]
  readonly newFiles: number[]
  readonly used: Profile[]
  /** Bytes that are being kept while the rows are typed; all must be done before the end. */
  readonly kept: { readonly at: number; readonly done: Promise<SourceProblem | null> }[]
  readonly facts: FileFacts[]
}

/** From so many bytes on, a file lands by itself: rows of an open transaction are read with one thread. */
const largeBytes = 8_000_000

/** Lands every file as text, in order of arrival. Call `sweepLanded` when the run does not come to its end. */
export async function landAll(
  warehouse: Warehouse,
  files: readonly FoundFile[],
  profiles: readonly Profile[],
  scratch: string,
  effects: IngestEffects,
): Promise<LandedAll> {
  const arrivals = await arrivalsInOrder(files, profiles)
  const known = new Map(
    (
      await warehouse.rows<{ sha256: string; file_no: number }>(
        'SELECT sha256, min(file_no) AS file_no FROM raw.file WHERE profile IS NOT NULL AND same_as IS NULL GROUP BY 1',
      )
    ).map((row) => [row.sha256, row.file_no]),
  )
  const landed: LandedAll = { reports: [], newFiles: [], used: [], kept: [], facts: [] }
  const layouts = await Layouts.read(warehouse)
  let fileNo = Number(await warehouse.value('SELECT coalesce(max(file_no), 0) FROM raw.file'))
  let done = 0
  const land = async (stretch: readonly Arrival[]): Promise<void> => {
    for (const arrival of stretch) {
      effects.onProgress?.(done++, arrivals.length, arrival.file.path)
      await landOne({ warehouse, scratch, effects, known, layouts, landed }, arrival, ++fileNo)
    }
  }
  for (const stretch of stretches(arrivals)) {
    if (stretch[0]!.file.bytes >= largeBytes) await land(stretch)
    else await warehouse.transaction(() => land(stretch))
  }
  effects.onProgress?.(arrivals.length, arrivals.length, '')
  return landed
}

type Arrival = Awaited<ReturnType<typeof arrivalsInOrder>>[number]

/** Neighbours that land together: large files each alone, the others in a row. */
function stretches(arrivals: readonly Arrival[]): Arrival[][] {
  const found: Arrival[][] = []
  for (const arrival of arrivals) {
    const last = found.at(-1)
    const isLarge = arrival.file.bytes >= largeBytes
    if (last && !isLarge && last[0]!.file.bytes < largeBytes) last.push(arrival)
    else found.push([arrival])
  }
  return found
}

interface Landings {
  readonly warehouse: Warehouse
  readonly scratch: string
  readonly effects: IngestEffects
  /** Files by their bytes' hash. */
  readonly known: Map<string, number>
  readonly layouts: Layouts
  readonly landed: LandedAll
}

async function landOne(
  { warehouse, scratch, effects, known, layouts, landed }: Landings,
  { file, known: recognized }: Arrival,
  fileNo: number,
): Promise<void> {
  const refuse = (trouble: SourceProblem): void => {
    const problem = sentence(trouble)
    landed.facts.push({ fileNo, file, problem, now: effects.now() })
    landed.reports.push({ fileNo: null, report: { ...empty(file.path), problem } })
  }
  if (isProblem(recognized)) return refuse(recognized)
  const landing = await prepare(file, recognized, scratch)
  if (isProblem(landing)) return refuse(landing)
  const same = known.get(landing.sha256)
  const layoutNo = await layouts.of(landing)
  if (same === undefined) {
    await warehouse.append('raw.landing', { file_no: [fileNo], layout_no: [layoutNo] })
    const trouble = await landRows(warehouse, fileNo, layoutNo, file, recognized, landing)
    if (trouble) {
      await warehouse.run(`DELETE FROM raw.landing WHERE file_no = ${fileNo}`)
      return refuse(trouble)
    }
    known.set(landing.sha256, fileNo)
    landed.newFiles.push(fileNo)
  }
  landed.facts.push({
    fileNo,
    file,
    recognized,
    layoutNo,
    sha256: landing.sha256,
    rows: landing.rowCount,
    sameAs: same ?? null,
    now: effects.now(),
  })
  landed.kept.push({ at: landed.reports.length, done: keep(warehouse, effects, file, landing.sha256) })
  if (!landed.used.includes(recognized.profile)) landed.used.push(recognized.profile)
  const notes = landing.notes.map((note) => sentence(note)).join(' ')
  landed.reports.push({
    fileNo,
    report: { ...empty(file.path), profile: recognized.profile.name, ...(notes ? { problem: notes } : {}) },
  })
}

/** Starts keeping a file's bytes; a failure shows when the promise is awaited. */
function keep(
  warehouse: Warehouse,
  effects: IngestEffects,
  file: FoundFile,
  sha256: string,
): Promise<SourceProblem | null> {
  const kept =
    effects.keep?.(file, sha256) ??
    (warehouse.folder ? keepBytes(file, sha256, join(warehouse.folder, 'files')) : Promise.resolve(null))
  kept.catch(() => undefined)
  return kept
}

const empty = (path: string): FileReport => ({
  path,
  profile: null,
  read: 0,
  accepted: 0,
  duplicate: 0,
  superseded: 0,
  quarantined: 0,
})
