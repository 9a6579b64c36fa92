import { tableFromIPC, type Vector } from 'apache-arrow'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { askHouse } from '../../src/catalogue/ask.ts'
import type { ColumnKind } from '../../src/catalogue/index.ts'
import { readQuestion } from '../../src/catalogue/index.ts'
import { type Cell, isoTime, type Warehouse } from '../../src/warehouse/index.ts'
import { catalogueOf, house } from './house.ts'

const catalogue = catalogueOf()
let warehouse: Warehouse
beforeAll(async () => {
  warehouse = await house()
})
afterAll(async () => {
  await catalogue.close()
  await warehouse.close()
})

/** A value of an Arrow column as JSON has it. */
const readers: Record<ColumnKind, (value: never, scale: number) => Cell> = {
  text: (value: string) => value,
  integer: (value: number) => value,
  number: (value: number) => value,
  boolean: (value: boolean) => value,
  time: (value: number) => isoTime(BigInt(value) * 1000n),
  day: (value: number) => new Date(value).toISOString().slice(0, 10),
  list: (value: Vector) => [...value],
  money: (value: { toString(): string }, scale: number) => {
    const text = String(value)
    const digits = text.replace('-', '').padStart(scale + 1, '0')
    return `${text.startsWith('-') ? '-' : ''}${digits.slice(0, -scale)}.${digits.slice(-scale)}`
  },
}

describe('Arrow says what JSON says', () => {
  test.each([0, 1, 7, 2048, 2500, 9000])('for %i rows of every type, with holes', async (count) => {
    const objects = await (await catalogue.run(warehouse, 'every-type', { count })).toObjects()
    const result = await catalogue.run(warehouse, 'every-type', { count })
    const table = tableFromIPC(await result.toArrowStream())
    expect(table.numRows).toBe(objects.length)
    for (const column of result.columns) {
      const vector = table.getChild(column.name)!
      const { scale } = vector.type as { scale: number }
      const got = Array.from({ length: table.numRows }, (_, row) => {
        const value = vector.get(row)
        // Lists of anything but text travel as JSON text.
        if (column.name === 'numbers') return value === null ? null : (JSON.parse(value) as Cell)
        return value === null ? null : readers[column.kind](value as never, scale)
      })
      expect([column.name, got]).toEqual([column.name, objects.map((row) => row[column.name])])
      expect(vector.nullCount).toBe(objects.filter((row) => row[column.name] === null).length)
    }
  })

  test.each([
    '9007199254740992',
    '-9007199254740992',
    '170141183460469231731687303715884105727::HUGEINT',
    '18446744073709551615::UBIGINT',
  ])('%s is refused, not rounded', async (value) => {
    const question = readQuestion('q', 'q.sql', `-- title: q\nSELECT ${value} AS large`, true)
    const result = await askHouse(warehouse, question, {})
    await expect(result.toArrowStream()).rejects.toThrow(
      /large holds an integer beyond 2\^53; cast it to text/,
    )
  })
})
