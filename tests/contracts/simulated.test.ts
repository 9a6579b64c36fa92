import { describe, expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'
import type { InvoiceErrorTruth } from '../simulator/invoice-errors.ts'
import { simulate } from '../simulator/simulate.ts'

interface Row {
  invoice: string | null
  line: string | null
  contract: string
  item: string
  aircraft: string | null
  finding: string
  is_primary: boolean
  supported_quantity: number
  billed_amount: string | null
  supported_amount: string
  difference_amount: string
  from_on: string
  message: string
}

const cents = (amount: string): bigint => BigInt(amount.replace('.', ''))

/** The row that should tell of a wrong line; `unbilled` stands on no invoice. */
function rowOf(rows: readonly Row[], error: InvoiceErrorTruth): Row | undefined {
  return rows.find((row) =>
    error.line === null
      ? row.finding === 'unbilled' &&
        row.contract === error.contract &&
        row.item === error.item &&
        row.aircraft === error.aircraft &&
        row.from_on === error.day
      : row.is_primary && row.invoice === error.invoice && row.line === String(error.line),
  )
}

const errors = {
  arithmetic: 3,
  rate: 3,
  'quantity-over': 4,
  'quantity-under': 3,
  duplicate: 4,
  'no-evidence': 3,
  'outside-period': 1,
  'not-on-contract': 1,
  unbilled: 3,
}

describe.each([
  { seed: 11, tiers: false },
  { seed: 12, tiers: true },
])('a season with known wrong lines, seed $seed, tiers $tiers', ({ seed, tiers }) => {
  test('each is found with its amounts to the cent, and right lines are left alone', async () => {
    const season = simulate({
      seed,
      tiers,
      aircraft: 4,
      days: 61,
      layout: 'canonical',
      invoiceErrors: errors,
    })
    const wrong = season.truth.invoiceErrors
    expect(wrong.length).toBeGreaterThan(20)
    const house = await House.open()
    try {
      await house.ingest(
        await folderOf(Object.fromEntries(season.files.map((file) => [file.path, file.bytes]))),
      )
      const rows = await house.rows<Row>('invoice-findings')
      const missed = wrong.flatMap((error) => {
        const row = rowOf(rows, error)
        const isRight =
          row !== undefined &&
          row.finding === error.kind &&
          row.supported_amount === error.supported_amount &&
          row.difference_amount === error.difference_amount &&
          Math.abs(row.supported_quantity - error.supported_quantity) < 1e-6
        return isRight ? [] : [{ error, row }]
      })
      expect(missed).toEqual([])
      const marked = new Set(wrong.map((error) => `${error.invoice}/${error.line}`))
      const right = rows.filter(
        (row) => row.is_primary && row.line !== null && !marked.has(`${row.invoice}/${row.line}`),
      )
      const questioned = right.filter((row) => row.finding !== 'ok')
      expect(right.length).toBeGreaterThan(150)
      expect(questioned.length / right.length, JSON.stringify(questioned.slice(0, 5))).toBeLessThanOrEqual(
        0.01,
      )
      const unbilled = rows.filter((row) => row.finding === 'unbilled')
      expect(unbilled.length).toBe(wrong.filter((error) => error.kind === 'unbilled').length)
      const billed = season.truth.papers!.lines.reduce((sum, line) => sum + line.amount, 0n)
      const summary = await house.rows<{ billed: string; supported: string; difference: string }>(
        'invoice-summary',
      )
      const sum = (name: 'billed' | 'supported' | 'difference') =>
        summary.reduce((total, row) => total + cents(row[name]), 0n)
      expect(sum('billed')).toBe(billed)
      expect(sum('billed')).toBe(sum('supported') + sum('difference'))
      const worth = await house.rows<{
        pairs: number | null
        bias_pct: number
        amount: string
        worth: string | null
      }>('meter-bias-worth')
      expect(worth.length).toBeGreaterThan(0)
      for (const row of worth)
        if ((row.pairs ?? 0) < 10) expect(row.worth).toBeNull()
        else expect(Number(row.worth)).toBeCloseTo(Number(row.amount) * (1 - 1 / (1 + row.bias_pct / 100)), 1)
      expect(worth.some((row) => row.worth !== null)).toBe(true)
    } finally {
      await house.close()
    }
  })
})
