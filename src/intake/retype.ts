import { kinds, tableName } from '../kinds/index.ts'
import type { Profile } from '../sources/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import type { FileList } from './file-list.ts'
import { takeMovedKeys } from './key-zone.ts'
import { noteChanged } from './pending.ts'
import { readNameBooks } from './registry.ts'

const smallKinds = kinds.filter(
  (kind) => kind.family === 'registry' && kind.columns.some((column) => column.type === 'reference'),
)
const aircraftKinds = kinds.filter((kind) =>
  kind.columns.some((column) => column.name === 'aircraft' && column.type === 'reference'),
)
const eventKinds = kinds.filter((kind) => kind.family === 'event')
const baseKinds = eventKinds.filter((kind) => kind.columns.some((column) => column.name === 'base'))

/**
 * The rows that read otherwise now that the registry has learned: those in quarantine, those whose aircraft resolves
 * otherwise, those of profiles that were revised, those whose base does, those whose key names another day, all that
 * share a key with one of these, and the small kinds that name tanks and components. They are taken out of the
 * observations, to be typed again as if they came now; their place in the order of arrival stays.
 * Leaves temp.intake_again(file_no, line).
 * @returns the number of rows.
 */
export async function takeOutWhatReadsOtherwise(
  warehouse: Warehouse,
  revised: readonly string[],
  kept: readonly Profile[],
): Promise<number> {
  const books = await readNameBooks(warehouse)
  await warehouse.run('CREATE OR REPLACE TEMP TABLE intake_again(file_no INTEGER, line INTEGER)')
  await warehouse.run(
    'INSERT INTO temp.intake_again SELECT DISTINCT file_no, line FROM obs.quarantine WHERE kind IS NOT NULL',
  )
  await takeProfiles(warehouse, revised)
  for (const kind of smallKinds)
    await warehouse.run(
      `INSERT INTO temp.intake_again SELECT file_no, line_no FROM obs.${tableName(kind.name)}`,
    )
  for (const kind of aircraftKinds.filter((one) => !smallKinds.includes(one))) {
    const table = `obs.${tableName(kind.name)}`
    const names = await warehouse.rows<{ text: string; target: string }>(
      `SELECT DISTINCT aircraft_text AS text, aircraft AS target FROM ${table} WHERE fate <> 'quarantined'`,
    )
    const changed = names
      .filter((one) => books.aircraft.resolve(one.text.trim()).target !== one.target)
      .map((one) => one.text)
    await takeTexts(warehouse, table, 'aircraft_text', changed)
  }
  const known = new Map(
    (
      await warehouse.rows<{ text: string; target: string | null }>(
        "SELECT text, target FROM obs.reference WHERE kind = 'base'",
      )
    ).map((one) => [one.text, one.target]),
  )
  const moved = [...known]
    .filter(([text, target]) => books.base.resolve(text).target !== target)
    .map(([text]) => text)
  for (const kind of baseKinds) await takeTexts(warehouse, `obs.${tableName(kind.name)}`, 'base', moved)
  await takeMovedKeys(warehouse, kept)
  await takeSharers(warehouse)
  await noteWhereTheyWere(warehouse)
  for (const kind of kinds) await takeOut(warehouse, `obs.${tableName(kind.name)}`, 'line_no')
  await takeOut(warehouse, 'obs.quarantine', 'line')
  return count(warehouse)
}

const count = async (warehouse: Warehouse): Promise<number> =>
  Number(await warehouse.value('SELECT count(*) FROM (SELECT DISTINCT * FROM temp.intake_again)'))

const againIn = (table: string): string =>
  `(SELECT * FROM ${table} WHERE (file_no, line_no) IN (SELECT (file_no, line) FROM temp.intake_again))`

/** Rows that a row taken out made duplicates of it or superseded, or that did so to it: they may stand otherwise without it. */
async function takeSharers(warehouse: Warehouse): Promise<void> {
  for (let before = -1, now = await count(warehouse); now !== before; ) {
    for (const kind of eventKinds) {
      const table = `obs.${tableName(kind.name)}`
      await warehouse.run(`INSERT INTO temp.intake_again SELECT file_no, line_no FROM ${table}
        WHERE key_hash IN (SELECT key_hash FROM ${againIn(table)})`)
    }
    before = now
    now = await count(warehouse)
  }
}

/** The account of the aircraft that these rows told of so far is to be made again too. */
async function noteWhereTheyWere(warehouse: Warehouse): Promise<void> {
  for (const kind of eventKinds) {
    const time = kind.time ? `"${kind.time}"` : 'NULL::TIMESTAMP'
    const rows = againIn(`obs.${tableName(kind.name)}`)
    await noteChanged(
      warehouse,
      kind.name,
      `SELECT aircraft, ${time} AS at_time FROM ${rows} WHERE aircraft IS NOT NULL`,
    )
  }
}

/** Every row of the files that these profiles read. */
async function takeProfiles(warehouse: Warehouse, profiles: readonly string[]): Promise<void> {
  for (const profile of profiles) {
    const layouts = await warehouse.rows<{ layout_no: number }>(
      'SELECT DISTINCT layout_no FROM raw.file WHERE profile = $profile AND layout_no IS NOT NULL',
      { profile },
    )
    for (const { layout_no: layoutNo } of layouts) {
      await warehouse.run(
        `INSERT INTO temp.intake_again SELECT file_no, line FROM raw.layout_${layoutNo}
         WHERE file_no IN (SELECT file_no FROM raw.file WHERE profile = $profile)`,
        { profile },
      )
    }
  }
}

async function takeTexts(
  warehouse: Warehouse,
  table: string,
  column: string,
  texts: readonly string[],
): Promise<void> {
  if (texts.length === 0) return
  await warehouse.run('CREATE OR REPLACE TEMP TABLE intake_texts(text VARCHAR)')
  await warehouse.append('temp.intake_texts', { text: texts })
  await warehouse.run(
    `INSERT INTO temp.intake_again SELECT file_no, line_no FROM ${table} WHERE ${column} IN (SELECT text FROM temp.intake_texts)`,
  )
}

async function takeOut(warehouse: Warehouse, table: string, line: string): Promise<void> {
  await warehouse.run(
    `DELETE FROM ${table} WHERE (file_no, ${line}) IN (SELECT (file_no, line) FROM temp.intake_again)`,
  )
}

interface BaseReference {
  readonly text: string
  readonly target: string | null
  readonly how: string | null
  readonly suggestion: string | null
}

/**
 * Every base text that rows name, with the base it means now.
 * @param files the only ones of which rows came since this was written last; null when rows of others left or changed.
 */
export async function writeBaseReferences(warehouse: Warehouse, files: FileList | null): Promise<void> {
  const books = await readNameBooks(warehouse)
  const known = await warehouse.rows<BaseReference>(
    "SELECT text, target, how, suggestion FROM obs.reference WHERE kind = 'base' ORDER BY text",
  )
  const stands = files === null ? "fate <> 'quarantined'" : `${files.own} AND fate <> 'quarantined'`
  const named = await warehouse.columns(`
    SELECT base AS text FROM obs.load WHERE ${stands} UNION SELECT base FROM obs.offload WHERE ${stands}
    UNION SELECT from_base FROM obs.flight WHERE ${stands} UNION SELECT to_base FROM obs.flight WHERE ${stands}`)
  const texts = new Set(named.text('text').filter((text) => text !== null))
  if (files !== null) for (const { text } of known) texts.add(text)
  const rows = [...texts].sort().map((text): BaseReference => {
    const found = books.base.resolve(text)
    return found.target === null
      ? { text, target: null, how: null, suggestion: found.suggestion }
      : { text, target: found.target, how: found.how, suggestion: null }
  })
  const told = new Set(known.map((one) => JSON.stringify(one)))
  if (rows.length === known.length && rows.every((row) => told.has(JSON.stringify(row)))) return
  await warehouse.run("DELETE FROM obs.reference WHERE kind = 'base'")
  await warehouse.append('obs.reference', {
    kind: rows.map(() => 'base'),
    text: rows.map((row) => row.text),
    target: rows.map((row) => row.target),
    how: rows.map((row) => row.how),
    suggestion: rows.map((row) => row.suggestion),
  })
}
