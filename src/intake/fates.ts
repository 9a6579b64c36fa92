import { type Kind, tableName } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { type Folded, type FoldRow, foldArrivals } from './fold.ts'

/** What a settling changed or saw, for findings and for the account. */
export interface Settled {
  readonly withdrawn: { obs: number; byFile: number }[]
  readonly farApart: number[]
}

/**
 * Says for every row that shares a key with rows of the named files whether it is accepted, a duplicate or superseded.
 * Fates are a function of the rows in order of arrival, so settling again changes nothing. Most rows share their key
 * with nothing; plain repeats are settled in SQL; only groups where contents differ are played through one by one.
 * @param files SQL list of file numbers, such as `(3, 4)`.
 */
export async function settleFates(
  warehouse: Warehouse,
  kind: Kind,
  files: string,
  wholeProfiles: ReadonlySet<string>,
): Promise<Settled> {
  const table = `obs.${tableName(kind.name)}`
  await numberRepeats(warehouse, table, files)
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE intake_contested AS
    SELECT key_hash FROM ${table} WHERE key_hash IN (SELECT key_hash FROM ${table} WHERE file_no IN ${files})
    GROUP BY key_hash HAVING count(*) > 1 AND (min(file_no) <> max(file_no) OR bool_or(is_keyed))`)
  const whole = kind.family === 'event' ? await wholeOf(warehouse, table, files, wholeProfiles) : []
  const folded: Folded[] = []
  for (const profile of whole) folded.push(await foldWhole(warehouse, kind, profile))
  if (Number(await warehouse.value('SELECT count(*) FROM temp.intake_contested')) > 0) {
    await settlePlain(warehouse, table, whole)
    folded.push(await foldContested(warehouse, kind, whole))
  }
  for (const one of folded) await write(warehouse, table, one)
  return {
    withdrawn: folded.flatMap((one) => one.withdrawn),
    farApart: folded.flatMap((one) => one.farApart),
  }
}

/** Numbers equal rows of one file 1, 2, 3… in line order: the n-th here is the n-th of another file. */
async function numberRepeats(warehouse: Warehouse, table: string, files: string): Promise<void> {
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE intake_repeats AS
    SELECT file_no, ident FROM ${table} WHERE file_no IN ${files} GROUP BY ALL HAVING count(*) > 1`)
  if (Number(await warehouse.value('SELECT count(*) FROM temp.intake_repeats')) === 0) return
  await warehouse.run(`
    UPDATE ${table} SET occ = numbered.occ FROM (
      SELECT obs_no, row_number() OVER (PARTITION BY file_no, ident ORDER BY line_no, rec) AS occ
      FROM ${table} SEMI JOIN temp.intake_repeats USING (file_no, ident)
    ) numbered WHERE ${table}.obs_no = numbered.obs_no AND ${table}.occ <> numbered.occ`)
}

async function wholeOf(
  warehouse: Warehouse,
  table: string,
  files: string,
  profiles: ReadonlySet<string>,
): Promise<string[]> {
  if (profiles.size === 0) return []
  const rows = await warehouse.rows<{ profile: string }>(
    `SELECT DISTINCT profile FROM ${table} WHERE file_no IN ${files}`,
  )
  return rows.map((row) => row.profile).filter((profile) => profiles.has(profile))
}

const inList = (texts: readonly string[]): string =>
  texts.length === 0 ? "('')" : `(${texts.map((text) => `'${text.replaceAll("'", "''")}'`).join(', ')})`

/** Equal rows: the first arrival stands, later ones are duplicates. Keys under which contents differ are left for the fold. */
async function settlePlain(warehouse: Warehouse, table: string, whole: readonly string[]): Promise<void> {
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE intake_plain AS
    WITH contested AS (
      SELECT obs_no, file_no, line_no, key_hash, is_keyed, ident, fate,
        first_value(obs_no) OVER (PARTITION BY key_hash, ident, CASE WHEN is_keyed THEN 0 ELSE occ END ORDER BY file_no, line_no, rec) AS first_no,
        min(file_no) OVER (PARTITION BY key_hash) AS first_file
      FROM ${table} SEMI JOIN temp.intake_contested USING (key_hash) WHERE profile NOT IN ${inList(whole)}
    )
    SELECT obs_no, key_hash, fate, obs_no = first_no AS is_first,
      bool_or(obs_no = first_no AND file_no > first_file AND NOT is_keyed) OVER (PARTITION BY key_hash)
        OR (bool_or(is_keyed) OVER (PARTITION BY key_hash) AND count(CASE WHEN obs_no = first_no THEN 1 END) OVER (PARTITION BY key_hash) > 1) AS differs
    FROM contested`)
  await warehouse.run(`
    UPDATE ${table} SET fate = CASE WHEN p.is_first THEN 'accepted' ELSE 'duplicate' END, replaced_by = NULL
    FROM temp.intake_plain p WHERE ${table}.obs_no = p.obs_no AND NOT p.differs
      AND ${table}.fate <> CASE WHEN p.is_first THEN 'accepted' ELSE 'duplicate' END`)
}

async function foldContested(warehouse: Warehouse, kind: Kind, whole: readonly string[]): Promise<Folded> {
  const differing = `SEMI JOIN (SELECT DISTINCT key_hash FROM temp.intake_plain WHERE differs) d USING (key_hash) WHERE profile NOT IN ${inList(whole)}`
  return foldRows(warehouse, kind, differing, () => false)
}

async function foldWhole(warehouse: Warehouse, kind: Kind, profile: string): Promise<Folded> {
  return foldRows(warehouse, kind, `WHERE profile IN ${inList([profile])}`, () => true)
}

async function foldRows(
  warehouse: Warehouse,
  kind: Kind,
  which: string,
  isWhole: (file: number) => boolean,
): Promise<Folded> {
  const at = kind.time && kind.family === 'event' ? `epoch_ms("${kind.time}")::DOUBLE` : 'NULL::DOUBLE'
  const columns = await warehouse.columns(`
    SELECT obs_no, file_no, line_no, ident::VARCHAR AS ident, key_hash::VARCHAR AS key, is_keyed, ${at} AS happened
    FROM obs.${tableName(kind.name)} ${which} ORDER BY file_no, line_no, rec`)
  const [obs, file, line, keyed, happened] = ['obs_no', 'file_no', 'line_no', 'is_keyed', 'happened'].map(
    (name) => columns.numbers(name),
  )
  const [ident, key] = [columns.text('ident'), columns.text('key')]
  const rows: FoldRow[] = Array.from({ length: columns.count }, (_, i) => ({
    obs: obs![i]!,
    file: file![i]!,
    line: line![i]!,
    ident: ident[i]!,
    key: key[i]!,
    isKeyed: keyed![i] === 1,
    at: happened![i]!,
  }))
  return foldArrivals(rows, isWhole)
}

async function write(warehouse: Warehouse, table: string, folded: Folded): Promise<void> {
  await warehouse.run(
    'CREATE OR REPLACE TEMP TABLE intake_fates(obs_no BIGINT, fate VARCHAR, replaced_by BIGINT)',
  )
  const entries = [...folded.fates]
  await warehouse.append('temp.intake_fates', {
    obs_no: entries.map(([obs]) => obs),
    fate: entries.map(([, one]) => one.fate),
    replaced_by: entries.map(([, one]) => one.replacedBy),
  })
  await warehouse.run(`
    UPDATE ${table} SET fate = f.fate, replaced_by = f.replaced_by FROM temp.intake_fates f
    WHERE ${table}.obs_no = f.obs_no AND (${table}.fate <> f.fate OR ${table}.replaced_by IS DISTINCT FROM f.replaced_by)`)
}
