import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { rebuildObservations, unaccountedSql } from '../intake/index.ts'
import { Warehouse } from '../warehouse/index.ts'
import { atMost } from './choice.ts'
import type { Command } from './command.ts'
import { fullSchema } from './schema.ts'
import { withWarehouse } from './session.ts'
import { bringAllUpToDate } from './update.ts'

interface Difference {
  table: string
  standing_rows: number
  rebuilt_rows: number
  only_standing: number
  only_rebuilt: number
}

export const verifyCommand: Command = {
  name: 'verify',
  summary: 'rebuild from raw rows and compare',
  usage: '',
  options: {},
  examples: ['gallonage verify'],
  async run(args, effects) {
    atMost(0, args.positionals)
    return withWarehouse(args, effects, async (warehouse) => {
      const { differences, tables, unaccounted } = await warehouse.exclusive(() =>
        compareWithRebuilt(warehouse),
      )
      if (args.flag('json')) effects.out(`${JSON.stringify({ tables, differences, unaccounted }, null, 2)}\n`)
      else {
        for (const row of unaccounted) effects.out(`rows unaccounted for: ${JSON.stringify(row)}\n`)
        for (const one of differences)
          effects.out(
            `${one.table}: ${one.standing_rows} rows stand, ${one.rebuilt_rows} rebuilt; ${one.only_standing} only in the one, ${one.only_rebuilt} only in the other\n`,
          )
        if (differences.length === 0 && unaccounted.length === 0)
          effects.out(`${tables} tables rebuilt from raw rows and amendments: every row is the same\n`)
      }
      return differences.length === 0 && unaccounted.length === 0 ? 0 : 1
    })
  },
}

const derived = ['obs', 'ledger', 'account', 'maintenance', 'contracts', 'effectiveness']
const passing = new Set(['obs.pending', 'obs.registry_changed'])

/** Rebuilds everything in a scratch warehouse from a copy of the raw rows, and compares table by table. */
export async function compareWithRebuilt(
  warehouse: Warehouse,
): Promise<{ differences: Difference[]; tables: number; unaccounted: unknown[] }> {
  const folder = await mkdtemp(join(tmpdir(), 'gallonage-verify-'))
  const scratch = await Warehouse.open(join(folder, 'scratch'), fullSchema)
  try {
    await copyRaw(warehouse, scratch, folder)
    await scratch.transaction(async () => {
      await rebuildObservations(scratch)
      await bringAllUpToDate(scratch)
    })
    const tables = (await tablesOf(warehouse, derived)).filter((table) => !passing.has(table))
    const differences: Difference[] = []
    for (const table of tables) {
      const difference = await compareTable(warehouse, scratch, table, folder)
      if (difference) differences.push(difference)
    }
    const files = await compareTable(warehouse, scratch, 'raw.file', folder)
    if (files) differences.push(files)
    return { differences, tables: tables.length + 1, unaccounted: await warehouse.rows(unaccountedSql) }
  } finally {
    await scratch.close()
    await rm(folder, { recursive: true, force: true })
  }
}

const quoted = (table: string): string =>
  table
    .split('.')
    .map((part) => `"${part}"`)
    .join('.')

async function tablesOf(warehouse: Warehouse, schemas: readonly string[]): Promise<string[]> {
  const rows = await warehouse.rows<{ name: string }>(
    `SELECT table_schema || '.' || table_name AS name FROM information_schema.tables WHERE table_type = 'BASE TABLE' AND table_schema IN (${schemas.map((one) => `'${one}'`).join(', ')}) ORDER BY 1`,
  )
  return rows.map((row) => row.name)
}

async function copyRaw(from: Warehouse, to: Warehouse, folder: string): Promise<void> {
  for (const table of await tablesOf(from, ['raw'])) {
    const path = join(folder, `${table}.parquet`).replaceAll("'", "''")
    await from.run(`COPY (SELECT * FROM ${quoted(table)}) TO '${path}' (FORMAT parquet)`)
    const isLayout = /^raw\.layout_\d+$/.test(table)
    if (isLayout) await to.run(`CREATE TABLE ${quoted(table)} AS SELECT * FROM '${path}'`)
    else await to.run(`INSERT INTO ${quoted(table)} BY NAME SELECT * FROM '${path}'`)
  }
}

/** Rows of one table that the other lacks, counted; null when they are the same. */
async function compareTable(
  standing: Warehouse,
  rebuilt: Warehouse,
  table: string,
  folder: string,
): Promise<Difference | null> {
  const hashes = `SELECT count(*) AS n, bit_xor(hash(t)) AS x, sum(hash(t)::HUGEINT)::VARCHAR AS s FROM ${quoted(table)} t`
  const [a] = await standing.rows<{ n: number; x: string; s: string }>(hashes)
  const [b] = await rebuilt.rows<{ n: number; x: string; s: string }>(hashes)
  if (a!.n === b!.n && a!.x === b!.x && a!.s === b!.s) return null
  const path = join(folder, 'standing.parquet').replaceAll("'", "''")
  await standing.run(`COPY (SELECT * FROM ${quoted(table)}) TO '${path}' (FORMAT parquet)`)
  const only = async (left: string, right: string) =>
    Number(
      await rebuilt.value(
        `SELECT count(*) FROM (SELECT hash(l) FROM ${left} l EXCEPT ALL SELECT hash(r) FROM ${right} r)`,
      ),
    )
  const [onlyStanding, onlyRebuilt] = [
    await only(`'${path}'`, quoted(table)),
    await only(quoted(table), `'${path}'`),
  ]
  return {
    table,
    standing_rows: a!.n,
    rebuilt_rows: b!.n,
    only_standing: onlyStanding,
    only_rebuilt: onlyRebuilt,
  }
}
