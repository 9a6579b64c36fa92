/**
 * Minutes to tenths of an hour: the conversion table of pilots' logbooks, quoted alike in many; not read in one original.
 * Hours billed: a State (Nebraska EMA) bid form for single engine airtankers asks for hours and tenths from a direct-reading electric
 * hour meter, and the clock times of take-off and landing where it fails.
 * Meters: Directive 2014/32/EU (measuring instruments), annex VII, table 2, line A, the same as OIML R 117; NIST Handbook
 * 44 section 3.30 table T.2, maintenance tolerance of class 0.3, quoted by a calibration firm; class 1.1 from memory.
 */
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest'
import { Desk } from '../contracts/desk.ts'

let desk: Desk
beforeAll(async () => {
  desk = await Desk.open()
})
beforeEach(() => desk.clear())
afterAll(() => desk.close())

/** Last minute that still gives each tenth: 0–2 min 0.0, 3–8 min 0.1, … 57–60 min 1.0. */
const lastMinutes = [2, 8, 14, 20, 26, 32, 38, 44, 50, 56, 60]

test('minutes of every flight to tenths, as logbooks have them', async () => {
  await desk.contract('C-1', { hours_step: 0.1, hours_rounding: 'half-up', hours_per: 'flight' })
  await desk.rate('C-1', 'flight-hour', '1000')
  const wanted: number[] = []
  for (let minutes = 0; minutes <= 60; minutes++) {
    wanted.push(lastMinutes.findIndex((last) => minutes <= last) / 10)
    // Two flights a day: each is rounded by itself.
    const date = String(1 + Math.floor(minutes / 2)).padStart(2, '0')
    await desk.flight(`2026-07-${date}T${minutes % 2 === 0 ? '10' : '18'}:00`, minutes)
  }
  await desk.verdicts()
  const days = new Map((await desk.unbilled()).map((row) => [row.day, row.quantity]))
  for (let minutes = 0; minutes <= 60; minutes += 2) {
    const date = `2026-07-${String(1 + minutes / 2).padStart(2, '0')}`
    expect(days.get(date) ?? 0, `${minutes} and ${minutes + 1} min`).toBeCloseTo(
      wanted[minutes]! + (wanted[minutes + 1] ?? 0),
      9,
    )
  }
})

test('the hour meter, and the clock where there is no reading', async () => {
  await desk.contract('C-1')
  await desk.rate('C-1', 'flight-hour', '1000')
  await desk.flight('2026-07-01T10:00', 60, { hours: 1.2 })
  await desk.flight('2026-07-02T10:00', 60)
  await desk.verdicts()
  expect((await desk.unbilled()).map((row) => row.quantity)).toEqual([1.2, 1])
})

test.each([
  ['0.3', 0.3, 'Handbook 44'],
  ['0.5', 0.5, '2014/32/EU'],
  ['1.0', 1.0, '2014/32/EU'],
  ['1', 1.0, '2014/32/EU'],
  ['1.1', 1.0, 'look it up before it is relied on'],
  ['1.5', 1.5, '2014/32/EU'],
  ['2.5', 2.5, '2014/32/EU'],
])(
  'a meter of class %s is questioned above %d %%, with its source',
  async (meter_class, tolerance, source) => {
    const biases = [tolerance, tolerance + 0.01, -tolerance - 0.01, tolerance + 1]
    for (const index of biases.keys()) await desk.base(`B${index}`, meter_class)
    await desk.warehouse.append('account.meter_bias', {
      base: biases.map((_, index) => `B${index}`),
      pairs: biases.map(() => 10),
      bias_pct: biases,
      low_pct: biases.map((bias) => bias - 0.5),
      high_pct: biases.map((bias) => bias + 0.5),
      applied_pct: biases.map(() => 0),
    })
    await desk.verdicts()
    const rows = await desk.warehouse.rows<{ subject: string; severity: string; message: string }>(
      "SELECT subject, severity, message FROM contracts.finding WHERE finding = 'meter-out-of-tolerance' ORDER BY subject",
    )
    expect(rows.map((row) => [row.subject, row.severity])).toEqual([
      ['base B1', 'note'],
      ['base B2', 'note'],
      ['base B3', 'warning'],
    ])
    expect(rows[0]!.message).toContain(source)
    expect(rows[0]!.message).toContain('have the meter tested')
  },
)
