import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { account, schemaSql as accountSchema, type Scope } from '../../src/account/index.ts'
import { schemaSql as intakeSchema } from '../../src/intake/schema.ts'
import { schemaSql as ledgerSchema } from '../../src/matching/schema.ts'
import { type Params, packageRoot, type Row, Warehouse } from '../../src/warehouse/index.ts'

export type Fields = Record<string, string | number | boolean | null | readonly string[]>

/** An empty warehouse in memory with the tables that the account reads and writes. */
export const emptyWarehouse = (): Promise<Warehouse> =>
  Warehouse.memory([intakeSchema, ledgerSchema, accountSchema])

const literal = (value: Fields[string]): string => {
  if (value === null) return 'NULL'
  if (typeof value === 'number' || typeof value === 'boolean') return String(value)
  if (typeof value === 'string') return `'${value.replaceAll("'", "''")}'`
  return `[${value.map(literal).join()}]`
}

/** Inserts rows of named fields; what a row does not name is NULL. */
export async function put(warehouse: Warehouse, table: string, rows: readonly Fields[]): Promise<void> {
  for (const row of rows) {
    const names = Object.keys(row).map((name) => `"${name}"`)
    await warehouse.run(`INSERT INTO ${table}(${names}) VALUES (${Object.values(row).map(literal)})`)
  }
}

let line = 0

/** Registry rows as intake leaves them: accepted, in order of arrival. */
export async function register(warehouse: Warehouse, kind: string, rows: readonly Fields[]): Promise<void> {
  await put(
    warehouse,
    `obs.${kind}`,
    rows.map((row) => ({ obs_no: ++line, file_no: 1, line_no: line, rec: 0, fate: 'accepted', ...row })),
  )
}

const idLetters = { drop: 'D', load: 'L', flight: 'F', offload: 'O' }
const times = { drop: 'dropped_at', load: 'loaded_at', flight: 'off_at', offload: 'offloaded_at' }

/** Canonical events as matching leaves them; the id is made from aircraft and time unless given. */
export async function happened(
  warehouse: Warehouse,
  kind: 'drop' | 'load' | 'flight' | 'offload',
  rows: readonly Fields[],
): Promise<void> {
  await put(
    warehouse,
    `ledger."${kind}"`,
    rows.map((row) => {
      const time = String(row[times[kind]]).replace(/[-:]/g, '')
      return {
        [kind]: `${idLetters[kind]}-${row.aircraft}-${time}`,
        witnesses: ['crew'],
        status: 'single',
        is_excluded: false,
        is_recorded: false,
        ...(kind === 'drop' ? { is_emergency_release: false, is_measured: false } : {}),
        ...row,
      }
    }),
  )
}

export async function compute(warehouse: Warehouse, scope: Scope = 'all'): Promise<void> {
  await account(warehouse, scope)
}

/** The rows of a question, by its text in `queries/answers`. */
export async function ask(warehouse: Warehouse, name: string, params: Params = {}): Promise<Row[]> {
  const sql = await readFile(join(packageRoot, 'queries', 'answers', `${name}.sql`), 'utf8')
  const taken = /^-- params:(.*)$/m.exec(sql)?.[1] ?? ''
  const names = taken
    .split(',')
    .map((text) => text.trim())
    .filter((text) => text !== '')
  return warehouse.rows(sql, Object.fromEntries(names.map((param) => [param, params[param] ?? null])))
}

/** Only these fields of each row, so that a test says what matters. */
export const only = (rows: readonly Row[], ...names: string[]): unknown[][] =>
  rows.map((row) => names.map((name) => row[name]))
