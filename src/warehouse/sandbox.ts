import { randomBytes } from 'node:crypto'
import { rmSync } from 'node:fs'
import { copyFile, mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import {
  type DuckDBConnection,
  type DuckDBDataChunk,
  DuckDBInstance,
  type DuckDBType,
  type DuckDBValue,
} from '@duckdb/node-api'
import type { Params, Warehouse } from './warehouse.ts'

export type TableName = { schema: string; name: string }

export type MacroText = {
  schema: string
  name: string
  parameters: string[]
  isTable: boolean
  definition: string
}

export type SandboxLimits = { timeMs: number; rows: number }

export type SandboxRows = { names: string[]; types: DuckDBType[]; chunks: DuckDBDataChunk[] }

/** A statement in a sandbox ran longer, or gave more rows, than it may. */
export class SandboxLimit extends Error {
  readonly limit: 'time' | 'rows'

  constructor(limit: 'time' | 'rows') {
    super(limit === 'time' ? 'the time limit was reached' : 'the row limit was reached')
    this.name = 'SandboxLimit'
    this.limit = limit
  }
}

/** Folders that stand: none of them outlives the process. */
const folders = new Set<string>()
process.on('exit', () => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true })
})

/**
 * A copy of some tables of a warehouse in a database of its own, opened read-only, without access to files or the
 * network, with its settings locked: statements of people who are not the house run here. They cannot reach the
 * warehouse, whatever they say.
 */
export class Sandbox {
  readonly #folder: string
  readonly #instance: DuckDBInstance

  private constructor(folder: string, instance: DuckDBInstance) {
    this.#folder = folder
    this.#instance = instance
  }

  /** Copies the tables (a view becomes a table) and the macros as they stand now. */
  static async copyOf(
    warehouse: Warehouse,
    tables: readonly TableName[],
    macros: readonly MacroText[],
  ): Promise<Sandbox> {
    const folder = await mkdtemp(join(tmpdir(), 'gallonage-sandbox-'))
    folders.add(folder)
    try {
      return new Sandbox(
        folder,
        await lockedCopy(warehouse, join(folder, 'copy.duckdb'), folder, tables, macros),
      )
    } catch (error) {
      await remove(folder)
      throw error
    }
  }

  /**
   * Runs one statement and gathers its rows.
   * @throws SandboxLimit; or the database's own error.
   */
  async rows(sql: string, params: Params, limits: SandboxLimits): Promise<SandboxRows> {
    return this.#within(limits.timeMs, async (connection) => {
      const result = await connection.stream(sql, params as Record<string, DuckDBValue>)
      const chunks: DuckDBDataChunk[] = []
      let count = 0
      for (
        let chunk = await result.fetchChunk();
        chunk && chunk.rowCount > 0;
        chunk = await result.fetchChunk()
      ) {
        count += chunk.rowCount
        if (count > limits.rows) throw new SandboxLimit('rows')
        chunks.push(chunk)
      }
      return { names: result.deduplicatedColumnNames(), types: result.columnTypes(), chunks }
    })
  }

  /** Runs one statement into a Parquet file. */
  async writeParquet(sql: string, params: Params, path: string, limits: SandboxLimits): Promise<void> {
    const own = join(this.#folder, `${randomBytes(6).toString('hex')}.parquet`)
    await this.#within(limits.timeMs, async (connection) => {
      await connection.run(
        `COPY (${sql}\n) TO ${literal(own)} (FORMAT parquet)`,
        params as Record<string, DuckDBValue>,
      )
    })
    await copyFile(own, path)
    await rm(own, { force: true })
  }

  async #within<T>(timeMs: number, work: (connection: DuckDBConnection) => Promise<T>): Promise<T> {
    const connection = await this.#instance.connect()
    let isLate = false
    const timer = setTimeout(() => {
      isLate = true
      connection.interrupt()
    }, timeMs)
    try {
      return await work(connection)
    } catch (error) {
      throw isLate ? new SandboxLimit('time') : error
    } finally {
      clearTimeout(timer)
      connection.closeSync()
    }
  }

  async close(): Promise<void> {
    this.#instance.closeSync()
    await remove(this.#folder)
  }
}

async function remove(folder: string): Promise<void> {
  await rm(folder, { recursive: true, force: true })
  folders.delete(folder)
}

/** The copy, made and then opened so that nothing but reading it is possible. */
async function lockedCopy(
  warehouse: Warehouse,
  path: string,
  folder: string,
  tables: readonly TableName[],
  macros: readonly MacroText[],
): Promise<DuckDBInstance> {
  const reader = await warehouse.reader()
  const copy = `copy_${randomBytes(6).toString('hex')}`
  try {
    await reader.run(`ATTACH ${literal(path)} AS ${copy}`)
    const schemas = new Set([...tables, ...macros].map((entry) => entry.schema))
    for (const schema of schemas) await reader.run(`CREATE SCHEMA IF NOT EXISTS ${copy}.${quoted(schema)}`)
    for (const { schema, name } of tables) {
      await reader.run(
        `CREATE TABLE ${copy}.${quoted(schema)}.${quoted(name)} AS FROM ${quoted(schema)}.${quoted(name)}`,
      )
    }
    await reader.run(`DETACH ${copy}`)
  } finally {
    await reader.close()
  }
  await addMacros(path, macros)
  const instance = await DuckDBInstance.create(path, {
    access_mode: 'READ_ONLY',
    autoload_known_extensions: 'false',
    autoinstall_known_extensions: 'false',
    threads: '1',
    memory_limit: '1GB',
  })
  const connection = await instance.connect()
  await connection.run(
    `SET GLOBAL TimeZone = 'UTC'; SET GLOBAL default_null_order = 'nulls_last';
       SET GLOBAL allowed_directories = [${literal(folder)}]; SET GLOBAL enable_external_access = false;
       SET GLOBAL lock_configuration = true`,
  )
  connection.closeSync()
  return instance
}

/** Macros refer to one another and to tables by name; one that does not bind here is left out. */
async function addMacros(path: string, macros: readonly MacroText[]): Promise<void> {
  const instance = await DuckDBInstance.create(path)
  const connection = await instance.connect()
  for (const macro of macros) {
    const name = `${quoted(macro.schema)}.${quoted(macro.name)}`
    const body = macro.isTable ? `TABLE ${macro.definition}` : macro.definition
    await connection
      .run(`CREATE OR REPLACE MACRO ${name}(${macro.parameters.map(quoted).join(', ')}) AS ${body}`)
      .catch(() => undefined)
  }
  connection.closeSync()
  instance.closeSync()
}

function literal(text: string): string {
  return `'${text.replaceAll("'", "''")}'`
}

function quoted(name: string): string {
  return `"${name.replaceAll('"', '""')}"`
}
