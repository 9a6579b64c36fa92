import { DuckDBDateValue, DuckDBInstance, DuckDBTimestampValue } from '@duckdb/node-api'
import { afterAll } from 'vitest'
import { valueMacros } from '../../src/values/sql.ts'

/** An in-memory database with the value macros, and a way to run one expression over a list of texts. */
export async function openValues() {
  const instance = await DuckDBInstance.create(':memory:')
  const connection = await instance.connect()
  await connection.run('CREATE SCHEMA val')
  for (const statement of valueMacros) await connection.run(statement)
  afterAll(() => {
    connection.closeSync()
    instance.closeSync()
  })
  return {
    /** Result of an SQL expression over column `x` for each text (or null), in order; timestamps in UTC ms. */
    async over(expression: string, texts: readonly (string | null)[]): Promise<unknown[]> {
      await connection.run('CREATE OR REPLACE TABLE cell (i INTEGER, x VARCHAR)')
      const literals = texts.map(
        (text, i) => `(${i}, ${text === null ? 'NULL' : `'${text.replaceAll("'", "''")}'`})`,
      )
      await connection.run(`INSERT INTO cell VALUES ${literals.join(', ')}`)
      const rows = (
        await connection.runAndReadAll(`SELECT v FROM (SELECT i, ${expression} AS v FROM cell) ORDER BY i`)
      ).getRows()
      return rows.map((row) => plain(row[0]))
    },
    async one(expression: string): Promise<unknown> {
      return (await connection.runAndReadAll(`SELECT ${expression}`)).getRows()[0]![0]
    },
  }
}

function plain(value: unknown): unknown {
  if (value instanceof DuckDBTimestampValue) return Number(value.micros) / 1000
  if (value instanceof DuckDBDateValue) return value.toString()
  return typeof value === 'bigint' ? Number(value) : value
}
