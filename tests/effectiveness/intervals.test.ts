import { afterAll, beforeAll, expect, test } from 'vitest'
import { intervalMacros } from '../../src/effectiveness/intervals-sql.ts'
import { newcombeDifference, studentQuantile, wilson } from '../../src/statistics/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'

let w: Warehouse

beforeAll(async () => {
  w = await Warehouse.memory(['CREATE SCHEMA effectiveness;', intervalMacros])
})
afterAll(() => w.close())

test("Student's point in SQL is that of the statistics room, for few and for many degrees of freedom", async () => {
  const rows = await w.rows<{ df: number; t: number }>(
    'SELECT df::INTEGER AS df, effectiveness.student_975(df::INTEGER) AS t FROM (SELECT unnest([1, 2, 5, 30, 119, 120, 121, 122, 200, 1000, 50000]) AS df)',
  )
  for (const { df, t } of rows)
    expect(Math.abs(t / studentQuantile(0.975, df) - 1), `${df}`).toBeLessThan(1e-9)
  expect(await w.value('SELECT effectiveness.student_975(0)')).toBeNull()
})

test("Wilson's interval in SQL is that of the statistics room, and nothing observed has none", async () => {
  const rows = await w.rows<{ k: number; n: number; low: number; high: number }>(
    `SELECT k::INTEGER AS k, n::INTEGER AS n, effectiveness.wilson_low(k::INTEGER, n::INTEGER) AS low,
       effectiveness.wilson_high(k::INTEGER, n::INTEGER) AS high
     FROM (SELECT unnest([1, 2, 9, 30, 81, 263, 4000]) AS n), LATERAL (SELECT unnest([0, 1, n // 3, n - 1, n]) AS k) WHERE k <= n`,
  )
  expect(rows.length).toBeGreaterThan(30)
  for (const { k, n, low, high } of rows) {
    const want = wilson(k, n)!
    expect(low, `${k} of ${n}`).toBeCloseTo(want.low, 13)
    expect(high, `${k} of ${n}`).toBeCloseTo(want.high, 13)
  }
  expect(await w.value('SELECT effectiveness.wilson_low(0, 0)')).toBeNull()
  expect(await w.value('SELECT effectiveness.wilson_high(0, 0)')).toBeNull()
})

test("Newcombe's interval in SQL is that of the statistics room", async () => {
  for (const [k1, n1, k2, n2] of [
    [56, 70, 48, 80],
    [9, 10, 3, 10],
    [0, 10, 0, 20],
    [10, 10, 0, 20],
  ] as const) {
    const [row] = await w.rows<{ low: number; high: number }>(
      `SELECT effectiveness.newcombe_low(${k1}, ${n1}, ${k2}, ${n2}) AS low, effectiveness.newcombe_high(${k1}, ${n1}, ${k2}, ${n2}) AS high`,
    )
    const want = newcombeDifference(k1, n1, k2, n2)!
    expect(row!.low).toBeCloseTo(want.low, 13)
    expect(row!.high).toBeCloseTo(want.high, 13)
  }
  expect(await w.value('SELECT effectiveness.newcombe_low(1, 2, 0, 0)')).toBeNull()
})
