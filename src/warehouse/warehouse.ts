import { existsSync } from 'node:fs'
import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { type DuckDBConnection, DuckDBInstance, type DuckDBResult, type DuckDBValue } from '@duckdb/node-api'
import { type AppendColumns, appendColumns } from './append.ts'
import { type Columns, type ColumnsOptions, readColumns } from './columns.ts'
import { databaseIn, makeFolder } from './folder.ts'
import { GivenNumbers, type NumberTables } from './given-numbers.ts'
import { openInstance } from './lock.ts'
import { packageRoot } from './root.ts'
import { type Cell, chunkRows } from './values-out.ts'

export type Param = string | number | boolean | bigint | null
export type Params = Readonly<Record<string, Param>>
export type Row = Record<string, Cell>

const stale = (mark: string): string => `${mark} stale`

/**
 * The only holder of a database connection. All times in it are UTC.
 * Writes go one after another through `transaction`; readers on their own connection see the last committed state.
 */
export class Warehouse {
  readonly folder: string | null
  readonly #instance: DuckDBInstance
  readonly #connection: DuckDBConnection
  readonly #isReader: boolean
  #given: GivenNumbers | null = null
  readonly #texts = new Map<string, string>()
  #queue: Promise<unknown> = Promise.resolve()

  private constructor(
    folder: string | null,
    instance: DuckDBInstance,
    connection: DuckDBConnection,
    isReader: boolean,
  ) {
    this.folder = folder
    this.#instance = instance
    this.#connection = connection
    this.#isReader = isReader
  }

  /**
   * Opens (and makes, where it is missing) the warehouse in a folder and brings its tables up to date.
   * @throws WarehouseBusy when another process holds it for longer than `waitMs`.
   */
  static async open(
    folder: string,
    schema: readonly string[],
    options: { waitMs?: number } = {},
  ): Promise<Warehouse> {
    makeFolder(folder)
    const instance = await openInstance(databaseIn(folder), options.waitMs ?? 10_000)
    return Warehouse.#prepared(folder, instance, schema)
  }

  /** The same object for every connection to one open warehouse. */
  get root(): object {
    return this.#instance
  }

  /** Whether a folder holds a warehouse. */
  static isAt(folder: string): boolean {
    return existsSync(databaseIn(folder))
  }

  /** A warehouse that lives in memory only: for tests, scratch rebuilds and drafts. */
  static async memory(schema: readonly string[]): Promise<Warehouse> {
    return Warehouse.#prepared(null, await DuckDBInstance.create(':memory:'), schema)
  }

  static async #prepared(
    folder: string | null,
    instance: DuckDBInstance,
    schema: readonly string[],
  ): Promise<Warehouse> {
    const connection = await instance.connect()
    // Rows of an open transaction are unknown to the planner: without the threshold it would join them in nested loops.
    await connection.run(
      "SET TimeZone = 'UTC'; SET preserve_insertion_order = true; SET default_null_order = 'nulls_last'; SET asof_loop_join_threshold = 0",
    )
    const warehouse = new Warehouse(folder, instance, connection, false)
    await warehouse.#migrate(schema)
    return warehouse
  }

  /** True when another version made this warehouse: all but `raw` is empty and must be made again. */
  isRemade = false

  /**
   * Runs every statement of the schema once; a warehouse that already carries the same text is left alone. When
   * another version made it, everything but `raw` is dropped and made anew.
   */
  async #migrate(schema: readonly string[]): Promise<void> {
    const { createHash } = await import('node:crypto')
    const text = schema.join('\n')
    const marks = 'SELECT version() AS version, (SELECT mark FROM house.built) AS mark'
    const found = await this.rows<{ version: string; mark: string | null }>(marks).catch(async () => {
      await this.run(
        'CREATE SCHEMA IF NOT EXISTS house; CREATE TABLE IF NOT EXISTS house.built(mark VARCHAR)',
      )
      return this.rows<{ version: string; mark: string | null }>(marks)
    })
    const { version, mark: built } = found[0]!
    const mark = createHash('sha256').update(`${version}\n${text}`).digest('hex')
    if (built === mark) return
    if (built === stale(mark)) {
      this.isRemade = true
      return
    }
    await this.transaction(async () => {
      if (built !== null) await this.#dropDerived()
      await this.run(text)
      await this.run('DELETE FROM house.built')
      await this.run('INSERT INTO house.built VALUES ($mark)', {
        mark: built === null ? mark : stale(mark),
      })
    })
    this.isRemade = built !== null
  }

  /** Says that what was dropped has been made again. */
  async markRebuilt(): Promise<void> {
    await this.run("UPDATE house.built SET mark = replace(mark, ' stale', '')")
    this.isRemade = false
  }

  async #dropDerived(): Promise<void> {
    const rows = await this.rows<{ name: string }>(
      "SELECT schema_name AS name FROM duckdb_schemas() WHERE database_name = current_database() AND NOT internal AND schema_name NOT IN ('raw', 'house', 'main') ORDER BY 1",
    )
    for (const { name } of rows) await this.run(`DROP SCHEMA "${name}" CASCADE`)
  }

  /** One statement with params, or any number of statements without. */
  async run(sql: string, params?: Params): Promise<void> {
    await this.#alone(async () => {
      if (params) await this.#connection.run(sql, params as Record<string, DuckDBValue>)
      else await this.#connection.run(sql)
    })
  }

  #statement: Promise<unknown> = Promise.resolve()

  /** One statement at a time: what still streams out of a connection is lost, silently, when it begins another. */
  #alone<T>(work: () => Promise<T>): Promise<T> {
    const turn = this.#statement.then(work)
    this.#statement = turn.catch(() => undefined)
    return turn
  }

  /** All rows as objects (see `plain` for how values leave). */
  async rows<T = Row>(sql: string, params?: Params): Promise<T[]> {
    return this.#alone(async () => {
      const result = await this.#connection.stream(sql, params as Record<string, DuckDBValue> | undefined)
      const names = result.columnNames()
      const rows: Row[] = []
      for (
        let chunk = await result.fetchChunk();
        chunk && chunk.rowCount > 0;
        chunk = await result.fetchChunk()
      ) {
        for (const row of chunkRows(chunk, names)) rows.push(row)
      }
      return rows as T[]
    })
  }

  /** The first value of the first row, or null. */
  async value<T = Cell>(sql: string, params?: Params): Promise<T | null> {
    const [row] = await this.rows(sql, params)
    return row ? (Object.values(row)[0] as T) : null
  }

  /** All rows as columns of typed arrays: for computation. */
  async columns(sql: string, params?: Params, options?: ColumnsOptions): Promise<Columns> {
    return this.#alone(async () =>
      readColumns(
        await this.#connection.stream(sql, params as Record<string, DuckDBValue> | undefined),
        options,
      ),
    )
  }

  /** The raw streaming result: for the catalogue's formats only. */
  async stream(sql: string, params?: Params): Promise<DuckDBResult> {
    return this.#connection.stream(sql, params as Record<string, DuckDBValue> | undefined)
  }

  /** Bulk append by column name (see `appendColumns`). */
  async append(table: string, columns: AppendColumns): Promise<void> {
    await this.#alone(() => appendColumns(this.#connection, table, columns))
  }

  /**
   * Does work whose statements read columns of numbers where they lie, as tables `given_numbers('<name>')`; NaN is NULL.
   * Unlike rows of an open transaction they are known to the planner by their number, and are not written anywhere.
   * @throws Error on a reader's connection.
   */
  async giving<T>(tables: NumberTables, work: () => Promise<T>): Promise<T> {
    if (this.#isReader) throw new Error('a reader gives no numbers')
    // Most commands give none.
    this.#given ??= new GivenNumbers(this.#connection)
    const given = this.#given
    given.hold(tables)
    try {
      return await work()
    } finally {
      given.drop(tables)
    }
  }

  #depth = 0

  /** True inside `transaction`. */
  get isInTransaction(): boolean {
    return this.#depth > 0
  }

  /**
   * All or nothing. Called inside a transaction, it joins it.
   * Work of other callers waits its turn: use `exclusive` around a whole task.
   */
  async transaction<T>(work: () => Promise<T>): Promise<T> {
    if (this.#depth > 0) return work()
    await this.run('BEGIN TRANSACTION')
    this.#depth++
    try {
      const result = await work()
      await this.run('COMMIT')
      return result
    } catch (error) {
      await this.run('ROLLBACK').catch(() => undefined)
      throw error
    } finally {
      this.#depth--
    }
  }

  #lone = 0

  /**
   * Runs work with one thread of the database. Rows of an open transaction are read by one thread whatever there are, and
   * the one that waits for it does so in a loop: the same work would take twice the processor. Readers feel it while it lasts.
   */
  async onOneThread<T>(work: () => Promise<T>): Promise<T> {
    if (this.#lone > 0) return work()
    const threads = await this.value<number>("SELECT current_setting('threads')::INTEGER")
    await this.#setThreads(1)
    this.#lone++
    try {
      return await work()
    } finally {
      this.#lone--
      await this.#setThreads(threads ?? 1)
    }
  }

  /** On a connection of its own: a transaction that failed takes no more statements. */
  async #setThreads(count: number): Promise<void> {
    const connection = await this.#instance.connect()
    await connection.run(`SET threads = ${count}`)
    connection.closeSync()
  }

  /** One task at a time on this connection: later callers wait until earlier ones are done. */
  exclusive<T>(task: () => Promise<T>): Promise<T> {
    const turn = this.#queue.then(task)
    this.#queue = turn.catch(() => undefined)
    return turn
  }

  /** The text of `queries/<name>.sql`, read once. */
  async readStage(name: string): Promise<string> {
    let text = this.#texts.get(name)
    if (text === undefined) {
      text = await readFile(join(packageRoot, 'queries', `${name}.sql`), 'utf8')
      this.#texts.set(name, text)
    }
    return text
  }

  /** A second connection to the same warehouse: sees committed state only. Close it on its own. */
  async reader(): Promise<Warehouse> {
    const connection = await this.#instance.connect()
    await connection.run("SET TimeZone = 'UTC'; SET default_null_order = 'nulls_last'")
    return new Warehouse(this.folder, this.#instance, connection, true)
  }

  /** Stops the statement that runs on this connection. */
  interrupt(): void {
    this.#connection.interrupt()
  }

  async close(): Promise<void> {
    this.#connection.closeSync()
    if (!this.#isReader) this.#instance.closeSync()
  }
}
