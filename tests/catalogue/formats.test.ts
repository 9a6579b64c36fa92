import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { tableFromIPC } from 'apache-arrow'
import readXlsxFile from 'read-excel-file/node'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { csvCell, type Result } from '../../src/catalogue/index.ts'
import type { Warehouse } from '../../src/warehouse/index.ts'
import { catalogueOf, house } from './house.ts'

const catalogue = catalogueOf()
let warehouse: Warehouse
let folder: string

beforeAll(async () => {
  warehouse = await house()
  folder = await mkdtemp(join(tmpdir(), 'gallonage-formats-'))
})
afterAll(async () => {
  await catalogue.close()
  await warehouse.close()
  await rm(folder, { recursive: true })
})

const ask = (params = {}): Promise<Result> => catalogue.run(warehouse, 'gallons-by-fire', params)

async function textOf(pieces: AsyncIterable<string>): Promise<string> {
  let text = ''
  for await (const piece of pieces) text += piece
  return text
}

const f1 = {
  fire: 'F-1',
  drops: 2,
  gallons: 1200.5,
  cost: '1200.15',
  price: '4.500000',
  first_at: '2026-07-04T20:05:00Z',
  first_day: '2026-07-04',
  fluids: ['retardant', 'water'],
  is_large: true,
}
const unknown = {
  fire: null,
  drops: 1,
  gallons: null,
  cost: null,
  price: null,
  first_at: '2025-08-01T00:00:00Z',
  first_day: '2025-08-01',
  fluids: ['gel'],
  is_large: null,
}

describe('one result in every format', () => {
  test('objects and JSON: numbers are numbers, money is text, nothing known is null', async () => {
    const objects = await (await ask()).toObjects()
    expect(objects).toHaveLength(3)
    expect(objects[1]).toEqual(f1)
    expect(objects[2]).toEqual(unknown)
    expect(JSON.parse(await textOf((await ask()).toJson()))).toEqual(objects)
    expect(await textOf((await ask({ season: '1999' })).toJson())).toBe('[]\n')
  })

  test('CSV: CRLF, lists joined, formulas made harmless, negative numbers left alone', async () => {
    const text = await textOf((await ask()).toCsv())
    expect(text.split('\r\n')).toEqual([
      'fire,drops,gallons,cost,price,first_at,first_day,fluids,is_large',
      "'=F-2,1,120,-17.50,,2026-07-06T10:00:00Z,2026-07-06,water,false",
      'F-1,2,1200.5,1200.15,4.500000,2026-07-04T20:05:00Z,2026-07-04,retardant;water,true',
      ',1,,,,2025-08-01T00:00:00Z,2025-08-01,gel,',
      '',
    ])
  })

  test.each([
    ['a "b", c', 'text', '"a ""b"", c"'],
    ['+1+1', 'text', "'+1+1"],
    ['@x', 'text', "'@x"],
    ['-1', 'text', '-1'],
    ['\tx', 'text', "'\tx"],
    ['line\nend', 'text', '"line\nend"'],
    [-1.5, 'number', '-1.5'],
    ['-1.50', 'money', '-1.50'],
    [Number.NaN, 'number', ''],
    [['=a', 'b'], 'list', "'=a;b"],
  ] as const)('CSV cell %j (%s) → %j', (cell, kind, expected) => {
    expect(csvCell(cell as never, kind)).toBe(expected)
  })

  test('Arrow: dictionary text, exact decimals, milliseconds in UTC, days, lists, nulls', async () => {
    for (const bytes of [await (await ask()).toArrowStream(), await (await ask()).toArrowFile()]) {
      const table = tableFromIPC(bytes)
      expect(table.numRows).toBe(3)
      expect(table.schema.fields.map((field) => String(field.type))).toEqual([
        'Dictionary<Int32, Utf8>',
        'Float64',
        'Float64',
        'Decimal[18e+2]',
        'Decimal[18e+6]',
        'Timestamp<MILLISECOND, UTC>',
        'Date32<DAY>',
        'List<Utf8>',
        'Bool',
      ])
      expect(table.schema.metadata.get('title')).toBe('Gallons per fire')
      expect(table.schema.fields[2]!.metadata.get('about')).toBe('US gal delivered')
      const [first, second, third] = table.toArray()
      expect(first.fire).toBe('=F-2')
      expect(second.gallons).toBe(1200.5)
      expect(String(second.cost)).toBe('120015')
      expect(String(first.cost)).toBe('-1750')
      expect(second.first_at).toBe(Date.parse('2026-07-04T20:05:00Z'))
      expect(new Date(second.first_day).toISOString().slice(0, 10)).toBe('2026-07-04')
      expect([...second.fluids]).toEqual(['retardant', 'water'])
      expect([second.is_large, first.is_large, third.is_large]).toEqual([true, false, null])
      expect([third.fire, third.gallons, third.cost, third.price]).toEqual([null, null, null, null])
    }
  })

  test('Arrow of no rows and of many chunks', async () => {
    const none = tableFromIPC(await (await ask({ season: '1999' })).toArrowStream())
    expect([none.numRows, none.numCols]).toEqual([0, 9])
    const many = tableFromIPC(
      await (await catalogue.run(warehouse, 'numbers', { count: 10_000 })).toArrowStream(),
    )
    expect(many.numRows).toBe(10_000)
    expect(many.getChild('n')!.get(9_999)).toBe(9_999)
  })

  test('workbook: typed cells and a sheet about them', async () => {
    const bytes = await (await ask()).toXlsx({
      fingerprint: 'abc123',
      madeAt: new Date('2026-11-01T00:00:00Z'),
    })
    const sheets = await readXlsxFile(Buffer.from(bytes))
    expect(sheets.map((sheet) => sheet.sheet)).toEqual(['gallons-by-fire', 'About'])
    const [header, first, second, third] = sheets[0]!.data
    expect(header![0]).toBe('fire')
    expect(first![0]).toBe('=F-2')
    expect(second!.slice(0, 5)).toEqual(['F-1', 2, 1200.5, 1200.15, 4.5])
    expect(second![5]).toEqual(new Date('2026-07-04T20:05:00Z'))
    expect(second![7]).toBe('retardant; water')
    expect(third![2]).toBeNull()
    const about = sheets[1]!.data.map((row) => row.slice(0, 2))
    expect(about).toContainEqual(['Title', 'Gallons per fire'])
    expect(about).toContainEqual(['Fingerprint of the records', 'abc123'])
    expect(about).toContainEqual(['gallons', 'US gal delivered'])
  })

  test('Parquet keeps the types and takes params', async () => {
    const path = join(folder, "fire's.parquet")
    await (await ask({ season: '2026' })).toParquet(path)
    const rows = await warehouse.rows(`FROM read_parquet('${path.replaceAll("'", "''")}')`)
    expect(rows).toHaveLength(2)
    expect(rows[1]).toEqual(f1)
  })

  test('table: fits the width, numbers to the right with separators', async () => {
    const wide = await (await ask()).toTable({ width: 140 })
    const lines = wide.split('\n')
    expect(lines[0]).toMatch(/^fire {2}drops {2}gallons/)
    expect(wide).toMatch(/^F-1 {7}2 {4}1,201 /m)
    expect(wide).toContain('3 rows')
    expect(wide).not.toContain('\u001b')
    const middle = await (await ask()).toTable({ width: 60 })
    expect(middle).toMatch(/^fire {2}drops {2}gallons/)
    expect(middle.replaceAll('\n', ' ')).toMatch(/3 rows; not shown for want of width: .*is_large/)
    for (const line of middle.split('\n')) expect(line.length).toBeLessThanOrEqual(60)
    const lists = await (await ask()).toTable({ width: 12 })
    expect(lists).toMatch(/^fire {7}=F-2\ndrops {6}1\n/)
    const narrow = await (await ask()).toTable({ width: 40 })
    for (const line of narrow.split('\n')) expect(line.length).toBeLessThanOrEqual(40)
    expect(await (await ask()).toTable({ width: 140, isColoured: true })).toContain('\u001b[1m')
    expect(await (await ask({ season: '1999' })).toTable({ width: 80 })).toBe('no rows\n')
    expect(await (await ask()).toTable({ width: 140, rowLimit: 2 })).toContain(
      '2 rows shown, and there are more',
    )
  })
})

describe('a terminal', () => {
  test('names stay whole, sentences go over lines, a lone row is a list, an empty column is only named', async () => {
    const rows = await catalogue.run(warehouse, 'sentences', {})
    const text = await rows.toTable({ width: 76 })
    for (const line of text.split('\n')) expect(line.length).toBeLessThanOrEqual(76)
    expect(text).toContain('D-N801ZY-20260704T183020Z')
    expect(text.replace(/\s+/g, ' ')).toContain('the level before the load')
    expect(text).not.toContain('…')
    expect(text).toMatch(/nothing in: nobody/)
    // 0.8 h beside 3,146 gal: neither loses its figures.
    expect(text).toMatch(/0\.80/)
    const one = await (await catalogue.run(warehouse, 'sentences', { only: '1' })).toTable({ width: 60 })
    expect(one).toMatch(/^drop +D-N801ZY-20260704T183020Z\nquantity +3,146\n/)
    expect(one).toContain('1 row')
  })
})

describe('pages', () => {
  const numbers = async (page: { limit?: number; offset?: number }) => {
    const result = await catalogue.run(warehouse, 'numbers', {})
    const rows = await result.toObjects(page)
    return [rows.length, rows[0]?.n ?? null, rows.at(-1)?.n ?? null, result.hasMore]
  }

  test.each([
    [{ limit: 10 }, [10, 0, 9, true]],
    [{ limit: 10, offset: 2045 }, [10, 2045, 2054, true]],
    [{ limit: 2048 }, [2048, 0, 2047, true]],
    [{ offset: 4990 }, [10, 4990, 4999, false]],
    [{ limit: 10, offset: 4990 }, [10, 4990, 4999, false]],
    [{ limit: 10, offset: 9000 }, [0, null, null, false]],
    [{}, [5000, 0, 4999, false]],
  ] as const)('%j', async (page, expected) => {
    expect(await numbers(page)).toEqual(expected)
  })

  test('a result is read once', async () => {
    const result = await ask()
    await result.toObjects()
    await expect(result.toObjects()).rejects.toThrow(/read already/)
  })
})
