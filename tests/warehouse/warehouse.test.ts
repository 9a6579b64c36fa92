import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, describe, expect, test } from 'vitest'
import { Warehouse } from '../../src/warehouse/index.ts'

const schema = [
  'CREATE SCHEMA IF NOT EXISTS t; CREATE TABLE IF NOT EXISTS t.x(n INTEGER, big BIGINT, v DOUBLE, s VARCHAR, at_time TIMESTAMP, day DATE, price DECIMAL(18,2), names VARCHAR[], ok BOOLEAN)',
]
let open: Warehouse[] = []
afterEach(async () => {
  for (const warehouse of open) await warehouse.close()
  open = []
})

async function memory(): Promise<Warehouse> {
  const warehouse = await Warehouse.memory(schema)
  open.push(warehouse)
  return warehouse
}

describe('Warehouse', () => {
  test('appends columns and gives them back as plain values', async () => {
    const w = await memory()
    await w.append('t.x', {
      n: [1, Number.NaN],
      big: [2 ** 40, null],
      v: Float64Array.of(0.1, Number.NaN),
      s: ['a', null],
      at_time: [Date.UTC(2026, 6, 4, 20, 5, 0), '2026-07-04T20:05:00.250Z'],
      day: ['2026-07-04', null],
      price: ['12.5', '-0.05'],
      names: [['a', 'b'], null as never],
      ok: [true, false],
    })
    expect(await w.rows('SELECT * FROM t.x')).toEqual([
      {
        n: 1,
        big: 2 ** 40,
        v: 0.1,
        s: 'a',
        at_time: '2026-07-04T20:05:00Z',
        day: '2026-07-04',
        price: '12.50',
        names: ['a', 'b'],
        ok: true,
      },
      {
        n: null,
        big: null,
        v: null,
        s: null,
        at_time: '2026-07-04T20:05:00.250Z',
        day: null,
        price: '-0.05',
        names: null,
        ok: false,
      },
    ])
  })

  test('refuses a column that is not there and a decimal with too many places', async () => {
    const w = await memory()
    await expect(w.append('t.x', { nope: [1] })).rejects.toThrow('t.x has no column nope')
    await expect(w.append('t.x', { price: ['1.005'] })).rejects.toThrow(
      '1.005 has more than 2 decimal places',
    )
  })

  test('columns come as typed arrays, NULL as NaN or null', async () => {
    const w = await memory()
    const columns = await w.columns("SELECT * FROM (VALUES (1, 'x'), (NULL, NULL)) v(n, s)")
    expect(columns.count).toBe(2)
    expect([...columns.numbers('n')]).toEqual([1, Number.NaN])
    expect(columns.text('s')).toEqual(['x', null])
    expect(() => columns.text('n')).toThrow('no text column n')
  })

  test('numbers of every width come and go by the thousand, missing ones missing', async () => {
    const w = await memory()
    const count = 5000
    const v = Float64Array.from({ length: count }, (_, i) => (i % 3 === 0 ? Number.NaN : i / 7))
    await w.append('t.x', { v, n: Int32Array.from({ length: count }, (_, i) => i) })
    expect(await w.value('SELECT count(v) FROM t.x')).toBe(count - Math.ceil(count / 3))
    const columns = await w.columns(
      `SELECT v, -n AS i32, (n % 100)::TINYINT AS i8, CASE WHEN n % 2 = 0 THEN n::SMALLINT END AS i16,
         (n::BIGINT + 9007199254700000) AS i64, v::FLOAT AS f32, n::UINTEGER AS u32, n > 10 AS ok FROM t.x ORDER BY n`,
    )
    expect(columns.numbers('v')).toEqual(v)
    const of = (value: (i: number) => number): Float64Array => Float64Array.from(v, (_, i) => value(i))
    expect(columns.numbers('i32')).toEqual(of((i) => (i === 0 ? 0 : -i)))
    expect(columns.numbers('i8')).toEqual(of((i) => i % 100))
    expect(columns.numbers('i16')).toEqual(of((i) => (i % 2 === 0 ? i : Number.NaN)))
    expect(columns.numbers('i64')).toEqual(of((i) => i + 9007199254700000))
    expect(columns.numbers('f32')).toEqual(of((i) => (i % 3 === 0 ? Number.NaN : Math.fround(i / 7))))
    expect(columns.numbers('u32')).toEqual(of((i) => i))
    expect(columns.numbers('ok')).toEqual(of((i) => (i > 10 ? 1 : 0)))
  })

  test('a transaction that fails leaves nothing behind', async () => {
    const w = await memory()
    await expect(
      w.transaction(async () => {
        await w.run('INSERT INTO t.x(n) VALUES (1)')
        throw new Error('stop')
      }),
    ).rejects.toThrow('stop')
    expect(await w.value('SELECT count(*) FROM t.x')).toBe(0)
  })

  test('work on one thread gives the others back, even when it fails in a transaction', async () => {
    const w = await memory()
    const threads = (): Promise<number | null> =>
      w.value<number>("SELECT current_setting('threads')::INTEGER")
    await w.run('SET threads = 3')
    const seen = await w.onOneThread(() => w.onOneThread(() => w.transaction(threads)))
    expect([seen, await threads()]).toEqual([1, 3])
    const failed = w.transaction(() => w.onOneThread(() => w.run('SELECT no_such_column')))
    await expect(failed).rejects.toThrow('no_such_column')
    expect(await threads()).toBe(3)
  })

  test('a reader sees committed rows only', async () => {
    const w = await memory()
    const reader = await w.reader()
    await w.transaction(async () => {
      await w.run('INSERT INTO t.x(n) VALUES (1)')
      expect(await reader.value('SELECT count(*) FROM t.x')).toBe(0)
    })
    expect(await reader.value('SELECT count(*) FROM t.x')).toBe(1)
    await reader.close()
  })

  test('many who ask on one connection at once each get all their rows', async () => {
    const warehouse = await Warehouse.memory([])
    await warehouse.run('CREATE TABLE many AS SELECT range AS n FROM range(50000)')
    const reader = await warehouse.reader()
    const asked = Array.from({ length: 12 }, (_, one) =>
      reader.rows<{ n: number }>(`SELECT n FROM many WHERE n % 12 = ${one} ORDER BY n`),
    )
    const columns = reader.columns('SELECT n FROM many ORDER BY n')
    const counts = (await Promise.all(asked)).map((rows) => rows.length)
    expect(counts.reduce((a, b) => a + b, 0)).toBe(50000)
    expect(Math.min(...counts)).toBeGreaterThan(4000)
    expect((await columns).count).toBe(50000)
    await expect(Promise.all([reader.rows('SELECT nothing'), reader.rows('SELECT 1')])).rejects.toThrow()
    expect(await reader.value('SELECT count(*) FROM many')).toBe(50000)
    await reader.close()
    await warehouse.close()
  })

  test('what was written is there after closing and opening again', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'gallonage-'))
    const first = await Warehouse.open(folder, schema)
    await first.run("INSERT INTO t.x(s) VALUES ('kept')")
    await first.close()
    const second = await Warehouse.open(folder, schema)
    expect(await second.value('SELECT s FROM t.x')).toBe('kept')
    await second.close()
    await rm(folder, { recursive: true })
  })
})

test('a warehouse of another version keeps its raw rows, and says that the rest must be made again', async () => {
  const folder = await mkdtemp(join(tmpdir(), 'gallonage-'))
  const old = [
    'CREATE SCHEMA IF NOT EXISTS raw; CREATE TABLE IF NOT EXISTS raw.x(s VARCHAR);',
    'CREATE SCHEMA IF NOT EXISTS obs; CREATE TABLE IF NOT EXISTS obs.y(n INTEGER);',
  ]
  const first = await Warehouse.open(folder, old)
  await first.run("INSERT INTO raw.x VALUES ('kept'); INSERT INTO obs.y VALUES (1)")
  expect(first.isRemade).toBe(false)
  await first.close()
  const second = await Warehouse.open(folder, [
    old[0]!,
    old[1]!.replace('n INTEGER', 'n INTEGER, more INTEGER'),
  ])
  expect(second.isRemade).toBe(true)
  expect(await second.value('SELECT s FROM raw.x')).toBe('kept')
  expect(await second.rows('SELECT * FROM obs.y')).toEqual([])
  await second.run('INSERT INTO obs.y(more) VALUES (2)')
  await second.close()
  const cut = await Warehouse.open(folder, [old[0]!, old[1]!.replace('n INTEGER', 'n INTEGER, more INTEGER')])
  expect(cut.isRemade).toBe(true)
  await cut.markRebuilt()
  await cut.close()
  const third = await Warehouse.open(folder, [
    old[0]!,
    old[1]!.replace('n INTEGER', 'n INTEGER, more INTEGER'),
  ])
  expect(third.isRemade).toBe(false)
  await third.close()
  await rm(folder, { recursive: true })
})
