import { Decimal } from 'decimal.js'
import readXlsxFile from 'read-excel-file/node'
import { expect, test } from 'vitest'
import type { ResultRow } from '../../src/catalogue/index.ts'
import { reconcileWorkbook } from '../../src/report/index.ts'
import fc from '../chance.ts'
import { unzipped, Worksheet } from './spreadsheet.ts'

const line = (own: Partial<ResultRow>): ResultRow => ({
  invoice: 'INV-1',
  line: '1',
  contract: 'C-1',
  item: 'gallon-loaded',
  aircraft: 'N801ZY',
  finding: 'ok',
  is_primary: true,
  currency: 'USD',
  from_on: '2026-07-04',
  to_on: '2026-07-04',
  ticket: 'A-1',
  billed_quantity: 100,
  billed_price: '3.420000',
  billed_amount: '342.00',
  supported_quantity: 100,
  contract_price: '3.420000',
  supported_amount: '342.00',
  difference_amount: '0.00',
  message: '',
  evidence: ['load:L-1'],
  note_state: null,
  note_by: null,
  note_reason: null,
  ...own,
})

const sheetsOf = (files: Map<string, string>): Worksheet[] =>
  [...files.keys()]
    .filter((name) => /worksheets\/sheet\d+\.xml$/.test(name))
    .sort()
    .map((name) => new Worksheet(files.get(name)!))

test('formulas recompute to the stated amounts, line by line and in total, for random invoices', async () => {
  const cents = fc.integer({ min: -5_000_000, max: 5_000_000 })
  const row = fc.record({
    billed: fc.integer({ min: 0, max: 99_999 }),
    borne: fc.integer({ min: 0, max: 99_999 }),
    price: fc.integer({ min: 1, max: 9_999_999 }),
    // A line across tiers or a credit: its amount is no product.
    other: fc.option(cents, { nil: undefined }),
  })
  await fc.assert(
    fc.asyncProperty(fc.array(row, { minLength: 1, maxLength: 12 }), async (made) => {
      const money = (value: Decimal): string => value.toDecimalPlaces(2, Decimal.ROUND_HALF_UP).toFixed(2)
      const rows = made.map(({ billed, borne, price, other }, index) => {
        const unit = new Decimal(price).div(1_000_000)
        const billedAmount = money(unit.times(billed).div(10))
        const supported =
          other === undefined ? money(unit.times(borne).div(10)) : money(new Decimal(other).div(100))
        return line({
          line: String(index + 1),
          billed_quantity: billed / 10,
          billed_price: unit.toFixed(6),
          billed_amount: billedAmount,
          supported_quantity: borne / 10,
          contract_price: other === undefined ? unit.toFixed(6) : null,
          supported_amount: supported,
        })
      })
      const [sheet] = sheetsOf(unzipped(await reconcileWorkbook(rows)))
      const sum = (pick: (row: ResultRow) => Decimal): string =>
        rows.reduce((total, one) => total.plus(pick(one)), new Decimal(0)).toFixed(2)
      const amount = (one: ResultRow, name: string): Decimal => new Decimal(String(one[name]))
      const difference = (one: ResultRow): Decimal =>
        amount(one, 'billed_amount').minus(amount(one, 'supported_amount'))
      rows.forEach((one, index) => {
        const at = index + 4
        expect(sheet!.number(`K${at}`).toFixed(2)).toBe(one.billed_amount)
        expect(sheet!.number(`O${at}`).toFixed(2)).toBe(one.supported_amount)
        expect(sheet!.number(`P${at}`).toFixed(2)).toBe(difference(one).toFixed(2))
      })
      expect(sheet!.number('L2').toFixed(2)).toBe(sum((one) => amount(one, 'billed_amount')))
      expect(sheet!.number('O2').toFixed(2)).toBe(sum((one) => amount(one, 'supported_amount')))
      expect(sheet!.number('Q2').toFixed(2)).toBe(sum((one) => Decimal.max(difference(one), 0)))
      expect(sheet!.number('R2').toFixed(2)).toBe(sum((one) => Decimal.max(difference(one).neg(), 0)))
    }),
    { numRuns: 25 },
  )
})

test('each contract has its sheet in its currency; unbilled work stands apart; nothing on record is a formula', async () => {
  const rows = [
    line({
      invoice: '=HYPERLINK("http://x","y")',
      message: '+1+1',
      note_state: 'agreed',
      note_by: 'A',
      note_reason: '@x',
    }),
    line({ contract: 'C-2', currency: 'CAD' }),
    line({
      contract: 'C-2',
      currency: 'CAD',
      invoice: null,
      line: null,
      finding: 'unbilled',
      supported_amount: '80.00',
    }),
    line({ is_primary: false, finding: 'rate' }),
  ]
  const bytes = await reconcileWorkbook(rows)
  const sheets = await readXlsxFile(Buffer.from(bytes))
  expect(sheets.map((sheet) => sheet.sheet)).toEqual(['C-1', 'C-2', 'C-2 unbilled'])
  expect(sheets[1]!.data[0]![0]).toBe('Contract C-2, invoice lines, amounts in CAD')
  expect(sheets[0]!.data[3]![0]).toBe('=HYPERLINK("http://x","y")')
  const [first, , unbilled] = sheetsOf(unzipped(bytes))
  for (const formula of first!.formulas.values()) expect(formula).toMatch(/^(ROUND|SUM|MAX)\(|^L\d+-O\d+$/)
  expect(first!.formulas.has('A4')).toBe(false)
  expect(unbilled!.number('E2').toFixed(2)).toBe('80.00')
})
