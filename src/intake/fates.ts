import { fileOfObs, type Kind, rowsOfFile, tableName } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import type { FileList } from './file-list.ts'
import { type Folded, type FoldRow, type FoldState, foldArrivals } from './fold.ts'
import { reachOfKeys } from './key-reach.ts'

/**
 * Says for every row that shares a key with rows of the named files whether it is accepted, a duplicate or superseded.
 * Fates are a function of the rows in order of arrival, so settling again changes nothing. Most rows share their key
 * with nothing; plain repeats are settled in SQL; only groups where contents differ are played through one by one.
 * @param areNew no row of these files was settled before.
 * @returns the files whose rows may stand otherwise now, beside the named ones, and whether any row shares its key.
 */
export async function settleFates(
  warehouse: Warehouse,
  kind: Kind,
  files: FileList,
  wholeProfiles: ReadonlySet<string>,
  areNew: boolean,
): Promise<{ files: number[]; isShared: boolean }> {
  const table = `obs.${tableName(kind.name)}`
  const hasOlder = (await warehouse.value(`SELECT 1 FROM ${table} WHERE ${files.others} LIMIT 1`)) !== null
  const near = hasOlder ? await reachOfKeys(warehouse, kind, files) : 'true'
  const shared = await findShared(warehouse, table, files, hasOlder, near)
  if (shared > 0) await numberRepeats(warehouse, table, files)
  const whole = kind.family === 'event' ? await wholeOf(warehouse, table, files, wholeProfiles) : []
  const folded: Folded[] = []
  const touched: number[] = []
  for (const profile of whole) folded.push(await foldWhole(warehouse, kind, profile, files, areNew))
  if (shared > 0 && (await findContested(warehouse, table, near)) > 0) {
    const plain = await settlePlain(warehouse, table, whole, near)
    touched.push(...plain.map((file) => file.file_no))
    if (plain.some((file) => file.differs)) folded.push(await foldContested(warehouse, kind, whole, near))
  }
  for (const one of folded) {
    if (one.fates.size === 0) continue
    await write(warehouse, table, one)
    for (const obs of one.fates.keys()) touched.push(fileOfObs(obs))
  }
  if (shared > 0 && kind.family === 'event' && kind.key.by === 'event')
    touched.push(...(await flagMissing(warehouse, kind, files, wholeProfiles, near)))
  return { files: [...new Set(touched)], isShared: shared > 0 }
}

/**
 * Keys of the files' rows that more than one row has. Equal rows of one file have equal keys, so that all that follows
 * looks at these few alone.
 * @returns how many there are.
 */
async function findShared(
  warehouse: Warehouse,
  table: string,
  files: FileList,
  hasOlder: boolean,
  near: string,
): Promise<number> {
  const among = hasOlder
    ? `${near} AND key_hash IN (SELECT key_hash FROM ${table} WHERE ${files.own})`
    : await isAmongRepeated(warehouse, table)
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE intake_shared_key AS
    SELECT key_hash FROM ${table} WHERE key_hash IS NOT NULL AND ${among} GROUP BY 1 HAVING count(*) > 1`)
  return Number(await warehouse.value('SELECT count(*) FROM temp.intake_shared_key'))
}

/**
 * SQL condition that holds for every key that two rows of the table have, and for few others: the last bits of each key
 * name a place, and a place that is taken twice is looked at. The database would take many times as long to count
 * groups of which nearly all are of one row.
 */
async function isAmongRepeated(warehouse: Warehouse, table: string): Promise<string> {
  const rows = Number(await warehouse.value(`SELECT count(*) FROM ${table}`))
  const bits = Math.min(30, Math.max(10, Math.ceil(Math.log2(32 * Math.max(1, rows)))))
  const place = `(key_hash & ${2 ** bits - 1})::INTEGER`
  const keys = await warehouse.columns(
    `SELECT ${place} AS place FROM ${table} WHERE key_hash IS NOT NULL`,
    undefined,
    { room: rows },
  )
  const places = keys.numbers('place')
  const taken = new Int32Array(2 ** (bits - 5))
  const again: number[] = []
  for (let row = 0; row < places.length; row++) {
    const at = places[row]!
    const bit = 1 << (at & 31)
    if ((taken[at >> 5]! & bit) !== 0) again.push(at)
    else taken[at >> 5]! |= bit
  }
  await warehouse.run('CREATE OR REPLACE TEMP TABLE intake_again_place(place INTEGER)')
  await warehouse.append('temp.intake_again_place', { place: Int32Array.from(again) })
  return `${place} IN (SELECT place FROM temp.intake_again_place)`
}

/** Of the shared keys, those that rows of several files have, or that are keys of their own. */
async function findContested(warehouse: Warehouse, table: string, near: string): Promise<number> {
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE intake_contested AS
    SELECT key_hash FROM ${table} SEMI JOIN temp.intake_shared_key USING (key_hash) WHERE ${near}
    GROUP BY key_hash HAVING min(file_no) <> max(file_no) OR bool_or(is_keyed)`)
  return Number(await warehouse.value('SELECT count(*) FROM temp.intake_contested'))
}

/** Numbers equal rows of one file 1, 2, 3… in line order: the n-th here is the n-th of another file. */
async function numberRepeats(warehouse: Warehouse, table: string, files: FileList): Promise<void> {
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE intake_repeats AS
    SELECT obs_no, row_number() OVER (PARTITION BY file_no, ident ORDER BY line_no, rec) AS occ
    FROM ${table} SEMI JOIN temp.intake_shared_key USING (key_hash)
    WHERE ${files.own} AND fate <> 'quarantined' QUALIFY count(*) OVER (PARTITION BY file_no, ident) > 1`)
  if (Number(await warehouse.value('SELECT count(*) FROM temp.intake_repeats')) === 0) return
  await warehouse.run(
    `UPDATE ${table} SET occ = n.occ FROM temp.intake_repeats n WHERE ${table}.obs_no = n.obs_no AND ${table}.occ <> n.occ`,
  )
}

async function wholeOf(
  warehouse: Warehouse,
  table: string,
  files: FileList,
  profiles: ReadonlySet<string>,
): Promise<string[]> {
  if (profiles.size === 0) return []
  const rows = await warehouse.rows<{ profile: string }>(
    `SELECT DISTINCT profile FROM ${table} WHERE ${files.own}`,
  )
  return rows.map((row) => row.profile).filter((profile) => profiles.has(profile))
}

const inList = (texts: readonly string[]): string =>
  texts.length === 0 ? "('')" : `(${texts.map((text) => `'${text.replaceAll("'", "''")}'`).join(', ')})`

/**
 * Equal rows: the first arrival stands, later ones are duplicates. Keys under which contents differ are left for the fold.
 * @returns the files of these rows, and whether any of their keys are left.
 */
async function settlePlain(
  warehouse: Warehouse,
  table: string,
  whole: readonly string[],
  near: string,
): Promise<{ file_no: number; differs: boolean }[]> {
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE intake_plain AS
    WITH contested AS (
      SELECT obs_no, file_no, line_no, key_hash, is_keyed, ident, fate,
        first_value(obs_no) OVER (PARTITION BY key_hash, ident, CASE WHEN is_keyed THEN 0 ELSE occ END ORDER BY file_no, line_no, rec) AS first_no,
        min(file_no) OVER (PARTITION BY key_hash) AS first_file
      FROM ${table} SEMI JOIN temp.intake_contested USING (key_hash) WHERE profile NOT IN ${inList(whole)} AND ${near}
    )
    SELECT obs_no, file_no, key_hash, fate, obs_no = first_no AS is_first,
      bool_or(obs_no = first_no AND file_no > first_file AND NOT is_keyed) OVER (PARTITION BY key_hash)
        OR (bool_or(is_keyed) OVER (PARTITION BY key_hash) AND count(CASE WHEN obs_no = first_no THEN 1 END) OVER (PARTITION BY key_hash) > 1) AS differs
    FROM contested`)
  await warehouse.run(`
    UPDATE ${table} SET fate = CASE WHEN p.is_first THEN 'accepted' ELSE 'duplicate' END, replaced_by = NULL
    FROM temp.intake_plain p WHERE ${table}.obs_no = p.obs_no AND NOT p.differs
      AND ${table}.fate <> CASE WHEN p.is_first THEN 'accepted' ELSE 'duplicate' END`)
  return warehouse.rows('SELECT file_no, bool_or(differs) AS differs FROM temp.intake_plain GROUP BY 1')
}

async function foldContested(
  warehouse: Warehouse,
  kind: Kind,
  whole: readonly string[],
  near: string,
): Promise<Folded> {
  const differing = `SEMI JOIN (SELECT DISTINCT key_hash FROM temp.intake_plain WHERE differs) d USING (key_hash) WHERE profile NOT IN ${inList(whole)} AND ${near}`
  return foldRows(warehouse, kind, differing, () => false)
}

/** A file that comes last meets only what stands; one that comes between others sends all of them through again. */
async function foldWhole(
  warehouse: Warehouse,
  kind: Kind,
  profile: string,
  files: FileList,
  areNew: boolean,
): Promise<Folded> {
  const own = `fate <> 'quarantined' AND profile IN ${inList([profile])}`
  const table = `obs.${tableName(kind.name)}`
  const [span] = await warehouse.rows<{ before: number | null; first: number | null }>(`
    SELECT max(file_no) FILTER (${files.others}) AS before, min(file_no) FILTER (${files.own}) AS first
    FROM ${table} WHERE ${own}`)
  const isLast = span?.first != null && span.before !== null && span.before < span.first
  if (!areNew || !isLast) return foldRows(warehouse, kind, `WHERE ${own}`, () => true)
  const isOld = `${own} AND ${files.others}`
  const seen = await warehouse.columns(`
    SELECT ident::VARCHAR AS ident, min(file_no) AS file_no FROM ${table}
    WHERE ${isOld} AND ident IN (SELECT ident FROM ${table} WHERE ${own} AND ${files.own}) GROUP BY ident`)
  const seenIn = seen.numbers('file_no')
  return foldRows(warehouse, kind, `WHERE ${own} AND ${files.own}`, () => true, {
    standing: await readRows(warehouse, kind, `WHERE ${isOld} AND fate = 'accepted'`),
    seen: seen.text('ident').map((ident, i) => [ident!, seenIn[i]!] as const),
    series: await seriesOf(warehouse, table, isOld),
  })
}

/** Pairs of files of which one repeats or replaces a row of the other. */
async function seriesOf(
  warehouse: Warehouse,
  table: string,
  which: string,
): Promise<(readonly [number, number])[]> {
  const pairs = await warehouse.rows<{ one: number; other: number }>(`
    SELECT DISTINCT min(file_no) OVER (PARTITION BY ident) AS one, file_no AS other FROM ${table} WHERE ${which}
    UNION SELECT file_no, (replaced_by // ${rowsOfFile})::INTEGER FROM ${table} WHERE ${which} AND replaced_by IS NOT NULL`)
  return pairs.map(({ one, other }) => [one, other] as const)
}

async function foldRows(
  warehouse: Warehouse,
  kind: Kind,
  which: string,
  isWhole: (file: number) => boolean,
  before?: FoldState,
): Promise<Folded> {
  return foldArrivals(await readRows(warehouse, kind, which), isWhole, before)
}

async function readRows(warehouse: Warehouse, kind: Kind, which: string): Promise<FoldRow[]> {
  const at = kind.time && kind.family === 'event' ? `epoch_ms("${kind.time}")::DOUBLE` : 'NULL::DOUBLE'
  const columns = await warehouse.columns(`
    SELECT obs_no, file_no, line_no, ident::VARCHAR AS ident, key_hash::VARCHAR AS key, is_keyed, ${at} AS happened
    FROM obs.${tableName(kind.name)} ${which} ORDER BY file_no, line_no, rec`)
  const [obs, file, line, keyed, happened] = ['obs_no', 'file_no', 'line_no', 'is_keyed', 'happened'].map(
    (name) => columns.numbers(name),
  )
  const [ident, key] = [columns.text('ident'), columns.text('key')]
  return Array.from({ length: columns.count }, (_, i) => ({
    obs: obs![i]!,
    file: file![i]!,
    line: line![i]!,
    ident: ident[i]!,
    key: key[i]!,
    isKeyed: keyed![i] === 1,
    at: happened![i]!,
  }))
}

async function write(warehouse: Warehouse, table: string, folded: Folded): Promise<void> {
  await warehouse.run(
    'CREATE OR REPLACE TEMP TABLE intake_fates(obs_no BIGINT, fate VARCHAR, replaced_by BIGINT, flag VARCHAR)',
  )
  const flags = new Map([
    ...folded.withdrawn.map((one) => [one.obs, 'withdrawn'] as const),
    ...folded.farApart.map((obs) => [obs, 'same-key-far-apart'] as const),
  ])
  const entries = [...folded.fates]
  await warehouse.append('temp.intake_fates', {
    obs_no: entries.map(([obs]) => obs),
    fate: entries.map(([, one]) => one.fate),
    replaced_by: entries.map(([, one]) => one.replacedBy),
    flag: entries.map(([obs]) => flags.get(obs) ?? null),
  })
  await warehouse.run(`
    UPDATE ${table} SET fate = f.fate, replaced_by = f.replaced_by FROM temp.intake_fates f
    WHERE ${table}.obs_no = f.obs_no AND (${table}.fate <> f.fate OR ${table}.replaced_by IS DISTINCT FROM f.replaced_by)`)
  await setFlag(
    warehouse,
    table,
    'withdrawn',
    "SELECT obs_no, coalesce(flag = 'withdrawn', false) AS is_set FROM temp.intake_fates",
  )
  await setFlag(
    warehouse,
    table,
    'same-key-far-apart',
    "SELECT obs_no, coalesce(flag = 'same-key-far-apart', false) AS is_set FROM temp.intake_fates",
  )
}

/** Sets or takes away one flag of the rows that `which` gives as (obs_no, is_set). */
async function setFlag(warehouse: Warehouse, table: string, flag: string, which: string): Promise<void> {
  await warehouse.run(`
    UPDATE ${table} SET flags = CASE WHEN w.is_set THEN list_append(coalesce(flags, []), '${flag}')
      ELSE nullif(list_filter(flags, f -> f <> '${flag}'), []) END
    FROM (${which}) w WHERE ${table}.obs_no = w.obs_no AND coalesce(list_contains(flags, '${flag}'), false) <> w.is_set`)
}

/**
 * Marks rows that a later file of increments should have repeated: it repeats their neighbours, and not them.
 * @returns the files of these rows.
 */
async function flagMissing(
  warehouse: Warehouse,
  kind: Kind,
  files: FileList,
  whole: ReadonlySet<string>,
  near: string,
): Promise<number[]> {
  const table = `obs.${tableName(kind.name)}`
  const time = `"${kind.time}"`
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE intake_follows AS
    WITH told AS (SELECT file_no, ident, occ, fate FROM ${table} WHERE fate <> 'quarantined' AND profile NOT IN ${inList([...whole])} AND ${near}),
    own AS (SELECT * FROM told WHERE ${files.own})
    SELECT DISTINCT o.file_no AS old_file, d.file_no AS new_file FROM own d JOIN told o USING (ident, occ)
    WHERE d.fate = 'duplicate' AND o.file_no < d.file_no
    UNION SELECT DISTINCT o.file_no, d.file_no FROM told d JOIN own o USING (ident, occ)
    WHERE d.fate = 'duplicate' AND o.file_no < d.file_no`)
  const followed = await warehouse.rows<{ old_file: number }>(
    'SELECT DISTINCT old_file FROM temp.intake_follows',
  )
  if (followed.length === 0) return []
  await setFlag(
    warehouse,
    table,
    'missing-later',
    `
    WITH span AS (SELECT file_no, min(${time}) AS first_at, max(${time}) AS last_at FROM ${table} WHERE file_no IN (SELECT new_file FROM temp.intake_follows) GROUP BY 1)
    SELECT o.obs_no, bool_or(o.fate = 'accepted' AND o.${time} BETWEEN span.first_at AND span.last_at
      AND NOT EXISTS (SELECT 1 FROM ${table} n WHERE n.file_no = new_file AND n.ident = o.ident AND n.occ = o.occ)) AS is_set
    FROM temp.intake_follows JOIN span ON span.file_no = new_file JOIN ${table} o ON o.file_no = old_file GROUP BY 1`,
  )
  return followed.map((row) => row.old_file)
}
