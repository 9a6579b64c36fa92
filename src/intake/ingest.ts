import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type KindName, kindOf, kinds, tableName } from '../kinds/index.ts'
import {
  canonicalProfiles,
  discover,
  isProblem,
  loadProfiles,
  type Profile,
  parseProfile,
  type SourceProblem,
} from '../sources/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { sentence } from './arrivals.ts'
import { markCorrected } from './corrected.ts'
import { countFates, readHeld } from './counts.ts'
import type { IngestEffects } from './effects.ts'
import { settleFates } from './fates.ts'
import { FileList } from './file-list.ts'
import { writeFindings } from './findings.ts'
import { reachOfKeys } from './key-reach.ts'
import { isKeyZoneMoved } from './key-zone.ts'
import { type LandedAll, landAll } from './land-all.ts'
import { noteChanged } from './pending.ts'
import { markRepeats } from './quarantine.ts'
import { writeFiles } from './raw-file.ts'
import { type FileReport, type IngestReport, totalsOf } from './report.ts'
import { takeOutWhatReadsOtherwise, writeBaseReferences } from './retype.ts'
import { type Batch, typeRows } from './type-rows.ts'

/** Files of fewer bytes together are taken in by one thread of the database: for so few rows a second one only waits. */
const fewBytes = 4_000_000

/**
 * Takes files into the warehouse: raw rows, then observations and what became of every row. All or nothing: raw rows
 * are committed first, so that the database knows their number and may read them with all its threads, and are swept
 * away again when the rest does not come to its end.
 * @param paths files or folders, in any order.
 * @param profileFiles profiles beyond those found beside the files and those kept from earlier runs.
 */
export async function ingest(
  warehouse: Warehouse,
  paths: readonly string[],
  profileFiles: readonly string[],
  effects: IngestEffects,
): Promise<IngestReport> {
  const found = await discover([...paths])
  const loaded = await loadProfiles([...new Set([...found.profileFiles, ...profileFiles])])
  const problems = [...found.problems, ...loaded.problems].map((one) => sentence(one))
  const profiles = await withKept(warehouse, loaded.profiles)
  const scratch = await mkdtemp(join(tmpdir(), 'gallonage-'))
  const take = async (): Promise<IngestReport> => {
    await sweepLanded(warehouse)
    const landed = await landAll(warehouse, found.files, profiles, scratch, effects)
    return await warehouse.transaction(async () => {
      await writeFiles(warehouse, landed.facts, effects.shownPath ?? ((path) => path))
      const unused = effects.keepsEveryProfile
        ? loaded.profiles.filter((profile) => !landed.used.includes(profile))
        : []
      const revised = await keepProfiles(warehouse, [...landed.used, ...unused], effects.now())
      await digestFiles(warehouse, landed.newFiles, landed.used, revised)
      const files = await finish(warehouse, landed.reports)
      for (const { at, done } of landed.kept) noteOn(files[at]!, await done)
      await effects.settle?.()
      await warehouse.run('DELETE FROM raw.landing')
      return {
        files,
        totals: totalsOf(files),
        problems,
        profiles: loaded.profiles.map((profile) => profile.name),
        isClean:
          problems.length === 0 && files.every((file) => file.profile !== null && file.quarantined === 0),
      }
    })
  }
  const bytes = found.files.reduce((sum, file) => sum + file.bytes, 0)
  try {
    return await (bytes < fewBytes ? warehouse.onOneThread(take) : take())
  } catch (error) {
    if (!warehouse.isInTransaction) await sweepLanded(warehouse)
    throw error
  } finally {
    await rm(scratch, { recursive: true, force: true })
  }
}

/** Takes away the raw rows of a run that did not come to its end: as if it had never begun. */
export async function sweepLanded(warehouse: Warehouse): Promise<void> {
  const left = await warehouse.rows<{ file_no: number; layout_no: number }>(
    'SELECT file_no, layout_no FROM raw.landing',
  )
  if (left.length === 0) return
  await warehouse.transaction(async () => {
    for (const one of left)
      await warehouse.run(`DELETE FROM raw.layout_${one.layout_no} WHERE file_no = ${one.file_no}`)
    await warehouse.run('DELETE FROM raw.landing')
  })
}

/** Profiles of this run, then those kept in the warehouse, then the built-in ones; a name counts once, first come. */
async function withKept(warehouse: Warehouse, loaded: readonly Profile[]): Promise<Profile[]> {
  const byName = new Map(loaded.map((profile) => [profile.name, profile]))
  for (const profile of await keptProfiles(warehouse))
    if (!byName.has(profile.name)) byName.set(profile.name, profile)
  return [...byName.values(), ...canonicalProfiles()]
}

/** The newest revision of every profile that was ever used here. */
export async function keptProfiles(warehouse: Warehouse): Promise<Profile[]> {
  const rows = await warehouse.rows<{ profile: string; spec: string }>(
    'SELECT profile, spec FROM raw.profile QUALIFY row_number() OVER (PARTITION BY profile ORDER BY revision DESC) = 1 ORDER BY profile',
  )
  return rows
    .map((row) => parseProfile(row.spec, `profile ${row.profile}`))
    .filter((profile): profile is Profile => !isProblem(profile))
}

/** @returns the names of profiles that were known, and read otherwise now. */
async function keepProfiles(warehouse: Warehouse, used: readonly Profile[], now: Date): Promise<string[]> {
  const revised: string[] = []
  const { createHash } = await import('node:crypto')
  for (const profile of used) {
    if (profile.isCanonical) continue
    const sha256 = createHash('sha256').update(profile.text).digest('hex')
    const [last] = await warehouse.rows<{ revision: number; sha256: string }>(
      'SELECT revision, sha256 FROM raw.profile WHERE profile = $name ORDER BY revision DESC LIMIT 1',
      { name: profile.name },
    )
    if (last?.sha256 === sha256) continue
    if (last) revised.push(profile.name)
    await warehouse.append('raw.profile', {
      profile: [profile.name],
      revision: [(last?.revision ?? 0) + 1],
      sha256: [sha256],
      spec: [profile.text],
      kept_at: [now.getTime()],
    })
  }
  return revised
}

function noteOn(report: FileReport, trouble: SourceProblem | null): void {
  if (trouble) report.problem = [report.problem, sentence(trouble)].filter(Boolean).join(' ')
}

/** Types new files and whatever the registry's new knowledge changes, settles fates, and notes what the account must redo. */
export async function digestFiles(
  warehouse: Warehouse,
  newFiles: readonly number[],
  used: readonly Profile[],
  revised: readonly string[] = [],
): Promise<void> {
  if (newFiles.length === 0) return revised.length > 0 ? typeAgain(warehouse, revised) : undefined
  const files = new FileList(newFiles)
  const whole = await wholeProfiles(warehouse)
  const touchedKinds = new Set<KindName>()
  const touchedFiles = new Set(newFiles)
  const shared = new Set<KindName>()
  const settle = async (kind: KindName) => {
    touchedKinds.add(kind)
    const settled = await settleFates(warehouse, kindOf(kind), files, whole, true)
    for (const file of settled.files) touchedFiles.add(file)
    if (settled.isShared) shared.add(kind)
  }
  await typeRows(warehouse, await batchesOf(warehouse, null, files, used), settle)
  const isTypedAgain =
    revised.length > 0 || (await isKeyZoneMoved(warehouse)) || (await hasLearned(warehouse, files))
  if (isTypedAgain) await typeAgain(warehouse, revised)
  await settleAround(warehouse, files, touchedFiles)
  await writeBaseReferences(warehouse, files)
  await notePending(warehouse, files, touchedKinds, isTypedAgain ? touchedKinds : shared)
}

/** True when new files changed what names mean, and there are older rows that may read otherwise for it. */
async function hasLearned(warehouse: Warehouse, files: FileList): Promise<boolean> {
  const older = await warehouse.value(
    `SELECT count(*) FROM raw.file WHERE profile IS NOT NULL AND ${files.others}`,
  )
  if (Number(older) === 0) return false
  const fresh = ['aircraft', 'tank', 'component', 'base'].map(
    (kind) => `SELECT 1 FROM obs.${kind} WHERE ${files.own} AND fate = 'accepted'`,
  )
  return Number(await warehouse.value(`SELECT count(*) FROM (${fresh.join(' UNION ALL ')})`)) > 0
}

/** Types again what reads otherwise since the registry changed (see `takeOutWhatReadsOtherwise`). */
export async function typeAgain(warehouse: Warehouse, revised: readonly string[] = []): Promise<void> {
  const kept = await keptProfiles(warehouse)
  if ((await takeOutWhatReadsOtherwise(warehouse, revised, kept)) === 0) return
  const again = await warehouse.rows<{ file_no: number }>('SELECT DISTINCT file_no FROM temp.intake_again')
  const files = new FileList(again.map((row) => row.file_no))
  const whole = await wholeProfiles(warehouse)
  const touched = new Set<KindName>()
  const touchedFiles = new Set(files.numbers)
  const settle = async (kind: KindName) => {
    touched.add(kind)
    const settled = await settleFates(warehouse, kindOf(kind), files, whole, false)
    for (const file of settled.files) touchedFiles.add(file)
  }
  const rows = '(file_no, line) IN (SELECT (file_no, line) FROM temp.intake_again)'
  await typeRows(warehouse, await batchesOf(warehouse, rows, files, kept), settle)
  await settleAround(warehouse, files, touchedFiles)
  await writeBaseReferences(warehouse, null)
  await notePending(warehouse, files, touched, touched)
  // A base that reads otherwise may lie in another zone.
  if (await isKeyZoneMoved(warehouse)) await typeAgain(warehouse)
}

/**
 * What follows from how rows stand now.
 * @param files those that were typed.
 * @param touched these, and those of rows that stand otherwise since.
 */
async function settleAround(
  warehouse: Warehouse,
  files: FileList,
  touched: ReadonlySet<number>,
): Promise<void> {
  const held = await readHeld(warehouse)
  await markRepeats(warehouse)
  await markCorrected(warehouse)
  await countIgnored(warehouse, files)
  await countFates(warehouse, touched, held)
  await writeFindings(warehouse, touched)
}

async function wholeProfiles(warehouse: Warehouse): Promise<Set<string>> {
  const rows = await warehouse.rows<{ profile: string }>(
    'SELECT DISTINCT profile FROM raw.file WHERE is_whole',
  )
  return new Set(rows.map((row) => row.profile))
}

/**
 * Files grouped by profile and layout.
 * @param rows SQL condition on file_no and line for those of their rows that are meant; null for all.
 */
async function batchesOf(
  warehouse: Warehouse,
  rows: string | null,
  files: FileList,
  used: readonly Profile[],
): Promise<Batch[]> {
  const groups = await warehouse.rows<{
    profile: string
    layout_no: number
    header: string[]
    numbers: number[]
  }>(
    `SELECT profile, layout_no, header, numbers FROM raw.layout JOIN (
       SELECT profile, layout_no, list(file_no) AS numbers FROM raw.file WHERE ${files.own} GROUP BY 1, 2
     ) USING (layout_no) ORDER BY profile, layout_no`,
  )
  const byName = new Map(
    [...canonicalProfiles(), ...(await keptProfiles(warehouse)), ...used].map((profile) => [
      profile.name,
      profile,
    ]),
  )
  return groups.map((group) => {
    const own = new FileList(group.numbers)
    return {
      profile: byName.get(group.profile)!,
      layoutNo: group.layout_no,
      header: group.header,
      files: own,
      rows: rows === null ? own.own : `${own.own} AND ${rows}`,
    }
  })
}

/** Lines that a profile ignores are no rows: they leave the count of what was read. */
async function countIgnored(warehouse: Warehouse, files: FileList): Promise<void> {
  const { ignoreSql } = await import('./plan.ts')
  for (const batch of await batchesOf(warehouse, null, files, [])) {
    if (Object.keys(batch.profile.ignore).length === 0) continue
    await warehouse.run(`
      UPDATE raw.file SET read = raw.file.read + raw.file.ignored - n.ignored, ignored = n.ignored
      FROM (SELECT file_no, count(*)::INTEGER AS ignored FROM raw.layout_${batch.layoutNo}
            WHERE ${batch.rows} AND problem IS NULL AND (${ignoreSql(batch)}) GROUP BY 1) n
      WHERE raw.file.file_no = n.file_no`)
  }
}

/**
 * Tells matching and account which aircraft and times changed, and which registry kinds.
 * @param shared kinds of which rows may share their keys with those of other files
 */
async function notePending(
  warehouse: Warehouse,
  files: FileList,
  touched: ReadonlySet<KindName>,
  shared: ReadonlySet<KindName>,
): Promise<void> {
  for (const kind of kinds) {
    if (!touched.has(kind.name)) continue
    const table = `obs.${tableName(kind.name)}`
    if (kind.family === 'registry') {
      await warehouse.run(
        `INSERT INTO obs.registry_changed SELECT '${kind.name}' WHERE NOT EXISTS (SELECT 1 FROM obs.registry_changed WHERE kind = '${kind.name}')`,
      )
      continue
    }
    const time = kind.time ? `"${kind.time}"` : 'NULL::TIMESTAMP'
    const own = `SELECT aircraft, ${time} AS at_time FROM ${table} WHERE ${files.own} AND fate <> 'quarantined'`
    const hasOlder =
      shared.has(kind.name) &&
      (await warehouse.value(
        `SELECT 1 FROM ${table} WHERE ${files.others} AND fate <> 'quarantined' LIMIT 1`,
      )) !== null
    if (!hasOlder) {
      await noteChanged(warehouse, kind.name, own)
      continue
    }
    await warehouse.run(
      `CREATE OR REPLACE TEMP TABLE intake_shared AS SELECT DISTINCT key_hash FROM ${table} WHERE ${files.own}`,
    )
    const near = await reachOfKeys(warehouse, kind, files)
    await noteChanged(
      warehouse,
      kind.name,
      `${own} UNION ALL
       SELECT aircraft, ${time} FROM ${table} SEMI JOIN temp.intake_shared USING (key_hash) WHERE ${near} AND ${files.others}`,
    )
  }
}

/** Reads the counts as they stand now; a file with the bytes of an earlier one is all duplicates. */
async function finish(warehouse: Warehouse, reports: LandedAll['reports']): Promise<FileReport[]> {
  await warehouse.run(`
    UPDATE raw.file SET read = o.read, ignored = o.ignored, duplicate = o.read FROM raw.file o
    WHERE raw.file.same_as = o.file_no AND (raw.file.read <> o.read OR raw.file.duplicate <> o.read)`)
  const rows = await warehouse.rows<FileReport & { file_no: number }>(
    'SELECT file_no, read, accepted, duplicate, superseded, quarantined FROM raw.file',
  )
  const byNo = new Map(rows.map((row) => [row.file_no, row]))
  return reports.map(({ fileNo, report }) => {
    const row = fileNo === null ? undefined : byNo.get(fileNo)
    if (!row) return report
    const { read, accepted, duplicate, superseded, quarantined } = row
    return { ...report, read, accepted, duplicate, superseded, quarantined }
  })
}
