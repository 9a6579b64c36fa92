import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { mulRound } from '../../src/values/index.ts'
import fc from '../chance.ts'
import { Desk } from './desk.ts'

let desk: Desk
beforeAll(async () => {
  desk = await Desk.open()
})
afterAll(() => desk.close())

const cents = (amount: string): bigint => BigInt(amount.replace('.', ''))

const price = fc.integer({ min: 1, max: 9_999_999 }).map((units) => (units / 1000).toFixed(3))
const quantity = fc.integer({ min: -3_000_000, max: 3_000_000 }).map((units) => (units / 1000).toFixed(3))
const item = fc.constantFrom(
  'gallon-loaded',
  'gallon-delivered',
  'flight-hour',
  'fixed',
  'availability-day',
  'standby',
)
const date = fc.integer({ min: 1, max: 9 }).map((day) => `2026-07-0${day}`)
const line = fc.record({
  contract: fc.constantFrom('C-1', 'C-2', 'C-none'),
  invoice: fc.constantFrom('I-1', 'I-2', 'I-3'),
  item,
  from_on: date,
  to_on: fc.option(fc.constantFrom('2026-07-09', '2026-07-31', '2026-08-02'), { freq: 4 }),
  ticket: fc.option(fc.integer({ min: 0, max: 12 }).map((number) => `T-${number}`)),
  quantity,
  unit_price: price,
  /** What a slip of the pen adds to the amount, in cents. */
  slip: fc.option(fc.integer({ min: -5000, max: 5000 }), { freq: 3 }),
})
const work = fc.record({
  date,
  hour: fc.integer({ min: 10, max: 22 }),
  gallons: fc.integer({ min: 0, max: 3_000_000 }).map((units) => units / 1000),
  minutes: fc.integer({ min: 0, max: 300 }),
  purpose: fc.constantFrom('fire', 'emergency', 'jettison'),
})
const rule = fc.record({
  volume_tolerance_pct: fc.constantFrom(0, 2, 7.5),
  emergency_rule: fc.constantFrom('paid', 'unpaid', null),
  hours_per: fc.constantFrom('flight', 'day'),
  hours_step: fc.constantFrom(0.1, 0.01),
  hours_rounding: fc.constantFrom('half-up', 'up', 'down'),
})

describe('any invoice against any account', () => {
  test('billed = supported + difference, per invoice and in total; dispute and under-billing are its two sides; money is counted once', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(line, { minLength: 1, maxLength: 25 }),
        fc.array(work, { maxLength: 12 }),
        fc.tuple(rule, rule),
        fc.array(price, { minLength: 8, maxLength: 8 }),
        async (lines, works, rules, prices) => {
          await desk.clear()
          for (const [index, contract] of ['C-1', 'C-2'].entries()) {
            await desk.contract(contract, rules[index]!)
            const own = prices.slice(index * 4)
            await desk.rate(contract, 'gallon-loaded', own[0]!)
            await desk.rate(contract, 'gallon-loaded', own[1]!, { from_quantity: 2500 })
            await desk.rate(contract, 'gallon-delivered', own[1]!)
            await desk.rate(contract, 'flight-hour', own[2]!)
            await desk.rate(contract, 'fixed', own[3]!)
          }
          for (const [index, one] of works.entries()) {
            const at = `${one.date}T${one.hour}:${String(index).padStart(2, '0')}`
            const load = await desk.load(at, one.gallons, index % 3 === 2 ? {} : { ticket: `T${index}` })
            await desk.drop(at, one.gallons, { load, purpose: one.purpose })
            await desk.flight(at, one.minutes)
          }
          let billed = 0n
          for (const [index, { contract, invoice, item: name, slip, ...one }] of lines.entries()) {
            const amount = (cents(mulRound(one.unit_price, one.quantity)) + BigInt(slip ?? 0)).toString()
            const sign = amount.startsWith('-') ? '-' : ''
            const text = amount.replace('-', '').padStart(3, '0')
            billed += cents(`${sign}${text.slice(0, -2)}.${text.slice(-2)}`)
            const sum: [string, string, string] = [
              one.quantity,
              one.unit_price,
              `${sign}${text.slice(0, -2)}.${text.slice(-2)}`,
            ]
            await desk.line(contract, invoice, String(index), name, sum, {
              from_on: one.from_on,
              to_on: one.to_on,
              ticket: one.ticket,
            })
          }
          const rows = await desk.verdicts()
          expect(rows).toHaveLength(lines.length)
          const total = (name: 'amount' | 'borne' | 'difference'): bigint =>
            rows.reduce((sum, row) => sum + cents(row[name]), 0n)
          expect(total('amount')).toBe(billed)
          expect(total('amount')).toBe(total('borne') + total('difference'))
          for (const invoice of new Set(rows.map((row) => row.invoice))) {
            const own = rows.filter((row) => row.invoice === invoice)
            const sum = (name: 'amount' | 'borne' | 'difference') =>
              own.reduce((all, row) => all + cents(row[name]), 0n)
            expect(sum('amount')).toBe(sum('borne') + sum('difference'))
          }
          for (const row of rows) {
            expect(row.findings.length).toBeGreaterThan(0)
            expect(new Set(row.findings).size).toBe(row.findings.length)
            if (row.findings[0] === 'ok') expect(row.difference).toBe('0.00')
          }
          // No piece of work is paid for twice: what is borne out of loaded gallons, and what is unbilled, is never more
          // than what was loaded and the tolerance.
          const loaded = works.reduce((sum, one) => sum + one.gallons, 0)
          const borne = rows.filter(
            (row) =>
              row.findings[0] !== 'not-on-contract' &&
              row.billed >= 0 &&
              !/taken back|credited/.test(row.message),
          )
          const isLoaded = new Set(
            lines.flatMap((one, index) => (one.item === 'gallon-loaded' ? [String(index)] : [])),
          )
          const paid = borne
            .filter((row) => isLoaded.has(row.line))
            .reduce((sum, row) => sum + row.supported, 0)
          const open = (await desk.unbilled())
            .filter((row) => row.item === 'gallon-loaded')
            .reduce((sum, row) => sum + row.quantity, 0)
          const tolerance = Math.max(...rules.map((one) => one.volume_tolerance_pct)) / 100
          expect(paid + open).toBeLessThanOrEqual(loaded * (1 + tolerance) + 0.001 * (lines.length + 1))
        },
      ),
      { numRuns: 12 },
    )
  })

  test('the order in which lines and loads arrived changes nothing', async () => {
    const lay = async (isBackwards: boolean) => {
      await desk.clear()
      const steps = [
        () => desk.contract('C-1', { volume_tolerance_pct: 2 }),
        () => desk.rate('C-1', 'gallon-loaded', '2'),
        () => desk.rate('C-1', 'gallon-loaded', '1', { from_quantity: 2500 }),
        () => desk.load('2026-07-04T18:00', 1000, { ticket: '1' }),
        () => desk.load('2026-07-05T18:00', 2000, { ticket: '2' }),
        () => desk.load('2026-07-05T18:00', 2000, { ticket: '3', aircraft: 'N2' }),
        () => desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['1000', '2', '2000'], { ticket: '1' }),
        () => desk.line('C-1', 'I-2', '1', 'gallon-loaded', ['1000', '2', '2000'], { ticket: '01' }),
        () =>
          desk.line('C-1', 'I-2', '2', 'gallon-loaded', ['2000', '2', '4000'], {
            ticket: '2',
            from_on: '2026-07-05',
          }),
        () =>
          desk.line('C-1', 'I-3', '1', 'gallon-loaded', ['-200', '2', '-400'], {
            ticket: '2',
            from_on: '2026-07-05',
          }),
      ]
      for (const step of isBackwards ? steps.reverse() : steps) await step()
      return (await desk.verdicts()).sort((a, b) =>
        `${a.invoice}${a.line}` < `${b.invoice}${b.line}` ? -1 : 1,
      )
    }
    expect(await lay(true)).toEqual(await lay(false))
  })
})
