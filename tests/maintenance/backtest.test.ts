import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { prepareBacktest } from '../../src/maintenance/index.ts'
import { bursty, USUAL } from '../statistics/bursty-seasons.ts'
import { fleetWarehouse } from './fleet.ts'

interface Row {
  horizon_days: number
  forecasts: number
  inside_80: number
  coverage: number
  pinball_days: number
  straight_line_pinball_days: number
  season: string
}

const SEASONS = 20

test('the seasons that the forecast is held against are made without any of its code', () => {
  const text = readFileSync('tests/statistics/bursty-seasons.ts', 'utf8')
  expect(text).toContain('export function bursty')
  expect(text).not.toMatch(/\bimport\b[^\n]*\bfrom\b|\bimport\(|\brequire\(/)
})

test(`over ${SEASONS} seasons of bursty use the window holds 75 to 85 per cent, and beats a straight line`, async () => {
  const sums = new Map<number, { forecasts: number; inside: number; loss: number; straight: number }>()
  for (let seed = 1; seed <= SEASONS; seed++) {
    const warehouse = await fleetWarehouse(bursty(seed, { ...USUAL, seasons: 4 }))
    await prepareBacktest(warehouse, { season: null, every: 15 })
    const rows = await warehouse.rows<Row>('FROM asked.due_backtest ORDER BY horizon_days')
    await warehouse.close()
    expect(rows.map((row) => [row.horizon_days, row.season])).toEqual([
      [14, '2023'],
      [30, '2023'],
      [60, '2023'],
    ])
    for (const row of rows) {
      expect(row.inside_80).toBeLessThanOrEqual(row.forecasts)
      const sum = sums.get(row.horizon_days) ?? { forecasts: 0, inside: 0, loss: 0, straight: 0 }
      sum.forecasts += row.forecasts
      sum.inside += row.inside_80
      sum.loss += row.pinball_days * row.forecasts
      sum.straight += row.straight_line_pinball_days * row.forecasts
      sums.set(row.horizon_days, sum)
    }
  }
  for (const [days, sum] of sums) {
    console.log(
      `${days} days: ${sum.forecasts} forecasts, ${((100 * sum.inside) / sum.forecasts).toFixed(1)} % inside, pinball loss ` +
        `${(sum.loss / sum.forecasts).toFixed(2)} days against ${(sum.straight / sum.forecasts).toFixed(2)} of a straight line`,
    )
    expect(sum.forecasts).toBeGreaterThan(300)
    expect(sum.inside / sum.forecasts).toBeGreaterThan(0.75)
    expect(sum.inside / sum.forecasts).toBeLessThan(0.85)
    expect(sum.loss).toBeLessThan(0.75 * sum.straight)
  }
})

test('a season without drops gives the three horizons with nothing forecast', async () => {
  const warehouse = await fleetWarehouse(bursty(1, { ...USUAL, seasons: 1 }))
  await prepareBacktest(warehouse, { season: '1999' })
  const rows = await warehouse.rows(
    'SELECT horizon_days, forecasts, coverage, season FROM asked.due_backtest',
  )
  expect(rows).toEqual(
    [14, 30, 60].map((horizon_days) => ({ horizon_days, forecasts: 0, coverage: null, season: null })),
  )
  await warehouse.close()
})

test('of a fleet of more than 100 tanks the same 100 are replayed; a tank that is named always is', async () => {
  const warehouse = await fleetWarehouse(bursty(2, { ...USUAL, units: 103, seasons: 2 }))
  const ask = async (params: { tank?: string }) => {
    await prepareBacktest(warehouse, { season: null, every: 60, ...params })
    return warehouse.rows<Row & { tanks: number }>('FROM asked.due_backtest ORDER BY horizon_days')
  }
  const fleet = await ask({})
  expect(fleet.map((row) => row.tanks)).toEqual([100, 100, 100])
  expect(fleet[0]!.forecasts).toBeGreaterThan(50)
  expect(await ask({})).toEqual(fleet)
  let forecasts = 0
  for (let unit = 1; unit <= 103; unit++) {
    const [own] = await ask({ tank: `K-${unit}` })
    expect(own!.tanks).toBe(1)
    forecasts += own!.forecasts
  }
  expect(forecasts).toBeGreaterThan(fleet[0]!.forecasts)
  await warehouse.close()
})
