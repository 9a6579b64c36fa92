import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { Desk, type LineVerdict } from './desk.ts'

let desk: Desk
beforeAll(async () => {
  desk = await Desk.open()
})
beforeEach(() => desk.clear())
afterAll(() => desk.close())

/** Findings, supported quantity and amount of every line, in short. */
const said = async (): Promise<[string, number, string][]> =>
  (await desk.verdicts()).map((row) => [row.findings.join(' '), row.supported, row.borne])

describe('one line', () => {
  const billing: [string, [string, string, string], Record<string, string>, [string, number, string]][] = [
    ['ok', ['2000', '3.25', '6500.00'], {}, ['ok', 2000, '6500.00']],
    ['at the edge of the tolerance', ['2040', '3.25', '6630.00'], {}, ['ok', 2040, '6630.00']],
    ['a gallon past it', ['2041', '3.25', '6633.25'], {}, ['quantity-over', 2000, '6500.00']],
    ['under, inside', ['1960', '3.25', '6370.00'], {}, ['ok', 1960, '6370.00']],
    ['under, past it', ['1959', '3.25', '6366.75'], {}, ['quantity-under', 2000, '6500.00']],
    ['wrong sum', ['2000', '3.25', '6600.00'], {}, ['arithmetic', 2000, '6500.00']],
    ['wrong price', ['2000', '3.52', '7040.00'], {}, ['rate', 2000, '6500.00']],
    ['a lower price than agreed', ['2000', '3.00', '6000.00'], {}, ['rate', 2000, '6500.00']],
    [
      'quantity and price, the price weighs more',
      ['2100', '4.00', '8400.00'],
      {},
      ['rate quantity-over', 2000, '6500.00'],
    ],
    [
      'quantity and price, the quantity weighs more',
      ['4000', '3.26', '13040.00'],
      {},
      ['quantity-over rate', 2000, '6500.00'],
    ],
    ['all three', ['4000', '3.26', '13050.00'], {}, ['quantity-over rate arithmetic', 2000, '6500.00']],
    ['half a cent goes up', ['2000.002', '3.25', '6500.01'], {}, ['ok', 2000.002, '6500.01']],
    ['ticket written otherwise', ['2000', '3.25', '6500.00'], { ticket: ' a 12' }, ['ok', 2000, '6500.00']],
    ['ticket with more zeros', ['2000', '3.25', '6500.00'], { ticket: 'A-00012' }, ['ok', 2000, '6500.00']],
    ['another ticket', ['2000', '3.25', '6500.00'], { ticket: 'A-13' }, ['no-evidence', 0, '0.00']],
    [
      'another ticket, and a wrong price',
      ['2000', '9.00', '18000.00'],
      { ticket: 'A-13' },
      ['no-evidence rate', 0, '0.00'],
    ],
    [
      'after the contract',
      ['2000', '3.25', '6500.00'],
      { from_on: '2026-08-01' },
      ['outside-period', 0, '0.00'],
    ],
    [
      'before the contract',
      ['2000', '3.25', '6500.00'],
      { from_on: '2026-06-30' },
      ['outside-period', 0, '0.00'],
    ],
    ['no such item', ['2000', '3.25', '6500.00'], { item: 'standby' }, ['not-on-contract', 0, '0.00']],
    ['no such aircraft', ['2000', '3.25', '6500.00'], { aircraft: 'N9' }, ['not-on-contract', 0, '0.00']],
    ['no such contract', ['2000', '3.25', '6500.00'], { contract: 'C-none' }, ['not-on-contract', 0, '0.00']],
    [
      'an item in other words',
      ['2000', '3.25', '6500.00'],
      { item: 'Gallons Loaded' },
      ['not-on-contract', 0, '0.00'],
    ],
    [
      'an item in other letters',
      ['2000', '3.25', '6500.00'],
      { item: 'Gallon loaded' },
      ['ok', 2000, '6500.00'],
    ],
    [
      'the ticket’s day counts, not the line’s',
      ['2000', '3.25', '6500.00'],
      { from_on: '2026-07-06' },
      ['ok', 2000, '6500.00'],
    ],
    ['without a ticket, by day', ['2000', '3.25', '6500.00'], { ticket: '' }, ['ok', 2000, '6500.00']],
    [
      'without a ticket, on another day',
      ['2000', '3.25', '6500.00'],
      { ticket: '', from_on: '2026-07-05' },
      ['no-evidence', 0, '0.00'],
    ],
  ]
  /** Every case has a contract and an aircraft of its own, so that one reckoning serves them all. */
  let rows: LineVerdict[]
  beforeAll(async () => {
    await desk.clear()
    for (const [index, [, sum, more]] of billing.entries()) {
      const aircraft = `N${index + 100}`
      const contract = `C-${index + 100}`
      await desk.contract(contract, { volume_tolerance_pct: 2, aircraft: [aircraft] })
      await desk.rate(contract, 'gallon-loaded', '3.25')
      await desk.load('2026-07-04T18:00', 2000, { ticket: 'A-0012', aircraft })
      const { item = 'gallon-loaded', ticket = 'A-0012', ...rest } = more
      const own = { aircraft, ticket: ticket || null, ...rest }
      await desk.line(more.contract ?? contract, 'I-1', '1', item, sum, own)
    }
    rows = await desk.verdicts()
  })

  test.each(billing.map(([title, , , want], index) => [title, want, index] as const))(
    '%s',
    (_, want, index) => {
      const row = rows[index]!
      expect([row.findings.join(' '), row.supported, row.borne]).toEqual(want)
      expect(Number(row.difference)).toBeCloseTo(Number(row.amount) - Number(row.borne), 9)
    },
  )

  test('amounts in words have both their decimals', async () => {
    expect(rows[billing.findIndex(([title]) => title === 'wrong sum')]!.message).toBe(
      '2000 × 3.25 is 6500.00, not 6600.00',
    )
    const found = await desk.warehouse.rows<{ message: string }>(
      "SELECT message FROM contracts.finding WHERE finding = 'invoice-arithmetic' ORDER BY subject LIMIT 1",
    )
    expect(found[0]!.message).toMatch(/^6600\.00 USD billed, 6500\.00 borne out: /)
  })

  test('a line for a whole season is no larger than a line may be', async () => {
    await desk.contract('C-1', { volume_tolerance_pct: 7.5 })
    await desk.rate('C-1', 'gallon-loaded', '3.25')
    await desk.rate('C-1', 'gallon-delivered', '3.25')
    for (let day = 1; day <= 30; day++) {
      const at = `2026-07-${String(day).padStart(2, '0')}T18:00`
      const load = await desk.load(at, 60_000)
      await desk.drop(at, 60_000, { load })
    }
    await desk.load('2026-07-31T18:00', 150_000)
    const season = { from_on: '2026-07-01', to_on: '2026-07-30' }
    const line = (
      number: string,
      item: string,
      sum: [string, string, string],
      more: Record<string, string>,
    ) => desk.line('C-1', 'I-1', number, item, sum, more)
    await line('1', 'gallon-loaded', ['1800000', '3.25', '5850000.00'], season)
    await line('2', 'gallon-delivered', ['2400000', '3.25', '7800000.00'], season)
    await line('3', 'gallon-delivered', ['-900000', '3.25', '-2925000.00'], season)
    await line('4', 'gallon-loaded', ['160000', '3.25', '520000.00'], {
      from_on: '2026-07-31',
      to_on: '2026-07-31',
      ticket: 'lost',
    })
    expect(await said()).toEqual([
      ['ok', 1_800_000, '5850000.00'],
      ['ok quantity-over', 2_400_000, '7800000.00'],
      ['quantity-under', -600_000, '-1950000.00'],
      ['ok', 160_000, '520000.00'],
    ])
  })

  test('a price that is a slip of the pen stops nothing else', async () => {
    await desk.contract('C-1')
    await desk.rate('C-1', 'gallon-loaded', '999999999')
    await desk.load('2026-07-04T18:00', 90_000_000, { ticket: '1' })
    const sum: [string, string, string] = ['1000000000', '999999999', '999999999999.00']
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', sum, { ticket: '1' })
    await desk.line('C-1', 'I-1', '2', 'fixed', ['1', '5', '5.00'])
    const rows = await desk.verdicts()
    expect(rows.map((row) => row.findings[0])).toEqual(['arithmetic', 'not-on-contract'])
  })

  test('no tolerance on record is none', async () => {
    await desk.contract('C-1')
    await desk.rate('C-1', 'gallon-loaded', '3.25')
    await desk.load('2026-07-04T18:00', 2000, { ticket: '1' })
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['2001', '3.25', '6503.25'], { ticket: '1' })
    expect(await said()).toEqual([['quantity-over', 2000, '6500.00']])
  })

  test('hours have no tolerance, whatever the contract says of volumes', async () => {
    await desk.contract('C-1', { volume_tolerance_pct: 50 })
    await desk.rate('C-1', 'flight-hour', '5000')
    await desk.flight('2026-07-04T18:00', 60)
    await desk.line('C-1', 'I-1', '1', 'flight-hour', ['1.1', '5000', '5500'])
    expect(await said()).toEqual([['quantity-over', 1, '5000.00']])
  })
})

describe('the same work billed twice', () => {
  beforeEach(async () => {
    await desk.contract('C-1', { volume_tolerance_pct: 2 })
    await desk.rate('C-1', 'gallon-loaded', '3.25')
    await desk.rate('C-1', 'flight-hour', '5000')
    await desk.load('2026-07-04T18:00', 2000, { ticket: 'T-07' })
  })

  test('on another invoice, written otherwise: the earlier invoice goes first', async () => {
    await desk.line('C-1', 'I-10', '1', 'gallon-loaded', ['2000', '3.25', '6500'], { ticket: 't 007' })
    await desk.line('C-1', 'I-9', '4', 'gallon-loaded', ['2000', '3.25', '6500'], { ticket: 'T7' })
    const rows = await desk.verdicts()
    expect(rows.map((row) => row.findings)).toEqual([['duplicate'], ['ok']])
    expect(rows[0]!.message).toBe('already billed on I-9 line 4')
    expect(rows[0]!.evidence).toEqual(['load:L-N1-2026-07-04T18:00', 'invoice-line:C-1/I-9/4'])
    expect(await desk.unbilled()).toEqual([])
  })

  test('a ticket, and again by its day', async () => {
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['2000', '3.25', '6500'])
    await desk.line('C-1', 'I-1', '2', 'gallon-loaded', ['2000', '3.25', '6500'], { ticket: 'T7' })
    expect(await said()).toEqual([
      ['duplicate', 0, '0.00'],
      ['ok', 2000, '6500.00'],
    ])
  })

  test('a load shared by two lines is no duplicate', async () => {
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['1200', '3.25', '3900'], { ticket: 'T7' })
    await desk.line('C-1', 'I-1', '2', 'gallon-loaded', ['800', '3.25', '2600'], { ticket: 'T7' })
    expect(await said()).toEqual([
      ['ok', 1200, '3900.00'],
      ['ok', 800, '2600.00'],
    ])
  })

  test('two flights of one day on two lines share the day', async () => {
    await desk.flight('2026-07-04T18:00', 60)
    await desk.flight('2026-07-04T20:00', 60)
    for (const line of ['1', '2', '3'])
      await desk.line('C-1', 'I-1', line, 'flight-hour', ['1', '5000', '5000'])
    expect(await said()).toEqual([
      ['ok', 1, '5000.00'],
      ['ok', 1, '5000.00'],
      ['duplicate', 0, '0.00'],
    ])
  })

  test('a month that holds a day billed before is over by that day', async () => {
    for (const date of ['04', '05', '06']) await desk.flight(`2026-07-${date}T18:00`, 60)
    await desk.line('C-1', 'I-1', '1', 'flight-hour', ['1', '5000', '5000'], {
      from_on: '2026-07-01',
      to_on: '2026-07-04',
    })
    await desk.line('C-1', 'I-2', '1', 'flight-hour', ['3', '5000', '15000'], {
      from_on: '2026-07-03',
      to_on: '2026-07-31',
    })
    expect(await said()).toEqual([
      ['ok', 1, '5000.00'],
      ['quantity-over', 2, '10000.00'],
    ])
  })

  test('on two contracts', async () => {
    await desk.contract('C-2')
    await desk.rate('C-2', 'gallon-loaded', '3.00')
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['2000', '3.25', '6500'], { ticket: 'T7' })
    await desk.line('C-2', 'J-1', '1', 'gallon-loaded', ['2000', '3.00', '6000'], { ticket: 'T7' })
    expect(await said()).toEqual([
      ['ok', 2000, '6500.00'],
      ['duplicate', 0, '0.00'],
    ])
  })

  test('the same ticket number at another base or in another month is another load', async () => {
    await desk.load('2026-07-20T18:00', 1500, { ticket: '7-T' })
    await desk.load('2026-07-20T18:00', 1800, { ticket: 'T7', aircraft: 'N2', base: 'ALD' })
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['2000', '3.25', '6500'], { ticket: 'T7' })
    await desk.line('C-1', 'I-1', '2', 'gallon-loaded', ['1500', '3.25', '4875'], {
      ticket: '7T',
      from_on: '2026-07-20',
    })
    expect(await said()).toEqual([
      ['ok', 2000, '6500.00'],
      ['ok', 1500, '4875.00'],
    ])
  })
})

describe('prices', () => {
  test('each with its own days and fluid; the newest of two that overlap', async () => {
    await desk.contract('C-1')
    await desk.rate('C-1', 'gallon-loaded', '3.25', { fluid: 'retardant' })
    await desk.rate('C-1', 'gallon-loaded', '3.40', { fluid: 'retardant', starts_on: '2026-07-10' })
    await desk.rate('C-1', 'gallon-loaded', '0.35')
    const loads: [string, string, string][] = [
      ['04', 'retardant', '3.25'],
      ['09', 'retardant', '3.25'],
      ['10', 'retardant', '3.40'],
      ['11', 'water', '0.35'],
      ['12', 'gel', '0.35'],
    ]
    for (const [index, [date, fluid, price]] of loads.entries()) {
      await desk.load(`2026-07-${date}T18:00`, 1000, { ticket: `${index}`, fluid })
      await desk.line(
        'C-1',
        'I-1',
        `${index}`,
        'gallon-loaded',
        ['1000', price, String(1000 * Number(price))],
        { ticket: `${index}`, from_on: `2026-07-${date}` },
      )
    }
    expect((await said()).map(([finding]) => finding)).toEqual(['ok', 'ok', 'ok', 'ok', 'ok'])
  })

  test('water billed as retardant is priced as water', async () => {
    await desk.contract('C-1')
    await desk.rate('C-1', 'gallon-loaded', '3.25', { fluid: 'retardant' })
    await desk.rate('C-1', 'gallon-loaded', '0.35', { fluid: 'water' })
    await desk.load('2026-07-04T18:00', 1000, { ticket: '1', fluid: 'water' })
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['1000', '3.25', '3250'], {
      ticket: '1',
      fluid: 'retardant',
    })
    expect(await said()).toEqual([['rate', 1000, '350.00']])
  })

  test('no price on that day is not on the contract', async () => {
    await desk.contract('C-1')
    await desk.rate('C-1', 'gallon-loaded', '3.25', { starts_on: '2026-07-10' })
    await desk.load('2026-07-04T18:00', 1000, { ticket: '1' })
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['1000', '3.25', '3250'], { ticket: '1' })
    expect(await said()).toEqual([['not-on-contract', 0, '0.00']])
  })

  test('a month across a change of price is priced day by day', async () => {
    await desk.contract('C-1')
    await desk.rate('C-1', 'availability-day', '100')
    await desk.rate('C-1', 'availability-day', '120', { starts_on: '2026-07-03' })
    for (const date of ['01', '02', '03', '04', '05']) await desk.ready(`2026-07-${date}`)
    const days = { from_on: '2026-07-01', to_on: '2026-07-05' }
    await desk.line('C-1', 'I-1', '1', 'availability-day', ['5', '112', '560'], days)
    expect(await said()).toEqual([['ok', 5, '560.00']])
  })

  describe('tiers by the season’s running quantity', () => {
    beforeEach(async () => {
      await desk.contract('C-1', { volume_tolerance_pct: 2 })
      await desk.rate('C-1', 'gallon-loaded', '3.00', { to_quantity: 2500 })
      await desk.rate('C-1', 'gallon-loaded', '2.00', { from_quantity: 2500, to_quantity: 4000 })
      await desk.rate('C-1', 'gallon-loaded', '1.00', { from_quantity: 4000 })
      // Laid out late first: the running quantity follows the time of the loads.
      for (const [ticket, date, gallons] of [
        ['3', '06', 3000],
        ['2', '05', 1000],
        ['1', '04', 1000],
      ] as const)
        await desk.load(`2026-07-${date}T18:00`, gallons, { ticket })
    })

    test('a line across tiers is split', async () => {
      await desk.line('C-1', 'I-1', '3', 'gallon-loaded', ['3000', '1.833333', '5500.00'], { ticket: '3' })
      await desk.line('C-1', 'I-1', '2', 'gallon-loaded', ['1000', '3', '3000'], { ticket: '2' })
      await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['1000', '2', '2000'], { ticket: '1' })
      // 2,000 to 5,000: 500 at 3.00, 1,500 at 2.00, 1,000 at 1.00.
      expect(await said()).toEqual([
        ['ok', 3000, '5500.00'],
        ['ok', 1000, '3000.00'],
        ['rate', 1000, '3000.00'],
      ])
    })

    test('work that nobody billed counts too, and is priced by its tier', async () => {
      await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['3000', '3', '9000'], { ticket: '3' })
      expect(await said()).toEqual([['rate', 3000, '5500.00']])
      expect((await desk.unbilled()).map((row) => row.amount)).toEqual(['3000.00', '3000.00'])
    })

    test('gallons inside the tolerance are priced in the last tier that they reach', async () => {
      await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['3050', '1', '5550'], { ticket: '3' })
      expect(await said()).toEqual([['ok', 3050, '5550.00']])
    })

    test('two lines of one load have its gallons one after the other', async () => {
      await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['500', '3', '1500'], { ticket: '3' })
      await desk.line('C-1', 'I-1', '2', 'gallon-loaded', ['1500', '2', '3000'], { ticket: '3' })
      await desk.line('C-1', 'I-1', '3', 'gallon-loaded', ['1000', '1', '1000'], { ticket: '3' })
      expect((await said()).map(([finding]) => finding)).toEqual(['ok', 'ok', 'ok'])
    })

    test('a new season begins anew', async () => {
      await desk.contract('C-2', { starts_on: '2027-01-01', ends_on: '2027-12-31' })
      await desk.rate('C-2', 'gallon-loaded', '3.00')
      await desk.rate('C-2', 'gallon-loaded', '1.00', { from_quantity: 1000 })
      await desk.load('2027-07-04T18:00', 1000, { ticket: '9' })
      await desk.line('C-2', 'J-1', '1', 'gallon-loaded', ['1000', '3', '3000'], {
        ticket: '9',
        from_on: '2027-07-04',
      })
      expect(await said()).toEqual([['ok', 1000, '3000.00']])
    })
  })
})

describe('hours', () => {
  const minutes = [62, 63, 40]
  test.each([
    // 62 min are 1.0333 h, 63 are 1.05, 40 are 0.6667; together 165 min are 2.75 h.
    ['to tenths, half-up, per flight', {}, 2.8],
    ['up', { hours_rounding: 'up' }, 2.9],
    ['down', { hours_rounding: 'down' }, 2.6],
    ['per day', { hours_per: 'day' }, 2.8],
    ['per day, down', { hours_per: 'day', hours_rounding: 'down' }, 2.7],
    ['to hundredths', { hours_step: 0.01 }, 2.75],
    ['to hundredths, up', { hours_step: 0.01, hours_rounding: 'up' }, 2.76],
    ['to hundredths per day', { hours_step: 0.01, hours_per: 'day', hours_rounding: 'up' }, 2.75],
  ])('%s', async (_, rule, hours) => {
    await desk.contract('C-1', rule)
    await desk.rate('C-1', 'flight-hour', '5000')
    for (const [index, one] of minutes.entries()) await desk.flight(`2026-07-04T1${index * 3}:00`, one)
    await desk.line('C-1', 'I-1', '1', 'flight-hour', [String(hours), '5000', String(hours * 5000)])
    expect(await said()).toEqual([['ok', hours, (hours * 5000).toFixed(2)]])
  })

  test('a meter read to tenths cannot tell hundredths, but one that disagrees with the clock goes first', async () => {
    await desk.contract('C-1', { hours_step: 0.01 })
    await desk.rate('C-1', 'flight-hour', '5000')
    await desk.flight('2026-07-04T18:00', 73, { hours: 1.2 })
    await desk.flight('2026-07-05T18:00', 73, { hours: 1.3 })
    await desk.line('C-1', 'I-1', '1', 'flight-hour', ['1.22', '5000', '6100'])
    await desk.line('C-1', 'I-1', '2', 'flight-hour', ['1.3', '5000', '6500'], { from_on: '2026-07-05' })
    expect((await said()).map(([finding]) => finding)).toEqual(['ok', 'ok'])
  })

  test('an hour meter’s reading goes before the clock', async () => {
    await desk.contract('C-1')
    await desk.rate('C-1', 'flight-hour', '5000')
    await desk.flight('2026-07-04T18:00', 60, { hours: 1.2 })
    await desk.line('C-1', 'I-1', '1', 'flight-hour', ['1.2', '5000', '6000'])
    expect(await said()).toEqual([['ok', 1.2, '6000.00']])
  })
})

describe('days', () => {
  test('the day of the contract’s zone', async () => {
    await desk.contract('C-1', { zone: 'Australia/Perth' })
    await desk.rate('C-1', 'gallon-loaded', '2')
    await desk.contract('C-2', { zone: 'America/Boise', aircraft: ['N2'] })
    await desk.rate('C-2', 'gallon-loaded', '2')
    // 18:00 UTC on the 4th is 02:00 on the 5th in Perth; 05:00 UTC on the 5th is 23:00 on the 4th in Boise.
    await desk.load('2026-07-04T18:00', 1000)
    await desk.load('2026-07-05T05:00', 1000, { aircraft: 'N2' })
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['1000', '2', '2000'], { from_on: '2026-07-05' })
    await desk.line('C-2', 'J-1', '1', 'gallon-loaded', ['1000', '2', '2000'], { aircraft: 'N2' })
    expect((await said()).map(([finding]) => finding)).toEqual(['ok', 'ok'])
  })

  test('the last hour of the contract, by its own clock', async () => {
    await desk.contract('C-1', { zone: 'America/Boise' })
    await desk.rate('C-1', 'gallon-loaded', '2')
    await desk.load('2026-08-01T05:59', 1000, { ticket: '1', day: '2026-07-31' })
    await desk.load('2026-08-01T06:00', 1000, { ticket: '2', day: '2026-08-01' })
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['1000', '2', '2000'], {
      ticket: '1',
      from_on: '2026-07-31',
    })
    await desk.line('C-1', 'I-1', '2', 'gallon-loaded', ['1000', '2', '2000'], {
      ticket: '2',
      from_on: '2026-07-31',
    })
    expect((await said()).map(([finding]) => finding)).toEqual(['ok', 'outside-period'])
  })

  test('a zone that is none is a finding, and operating days count', async () => {
    await desk.contract('C-1', { zone: 'Mountain' })
    await desk.rate('C-1', 'gallon-loaded', '2')
    await desk.load('2026-07-05T03:00', 1000, { day: '2026-07-04' })
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['1000', '2', '2000'])
    expect((await said()).map(([finding]) => finding)).toEqual(['ok'])
    expect(await desk.warehouse.rows('SELECT finding, subject FROM contracts.finding')).toEqual([
      { finding: 'contract-zone-unknown', subject: 'contract C-1' },
    ])
  })

  test('available, unavailable, and not on record', async () => {
    await desk.contract('C-1')
    await desk.rate('C-1', 'availability-day', '9800')
    await desk.ready('2026-07-01')
    await desk.ready('2026-07-02', { status: 'unavailable' })
    await desk.ready('2026-07-03', { contract: 'C-1' })
    await desk.line('C-1', 'I-1', '1', 'availability-day', ['3', '9800', '29400'], {
      from_on: '2026-07-01',
      to_on: '2026-07-03',
    })
    await desk.line('C-1', 'I-1', '2', 'availability-day', ['1', '9800', '9800'], { from_on: '2026-07-09' })
    expect(await said()).toEqual([
      ['quantity-over', 2, '19600.00'],
      ['no-evidence', 0, '0.00'],
    ])
  })

  test('an aircraft that changes contract: each pays its own days', async () => {
    await desk.contract('C-1', { ends_on: '2026-07-10' })
    await desk.contract('C-2', { starts_on: '2026-07-11' })
    for (const [contract, price] of [
      ['C-1', '2'],
      ['C-2', '3'],
    ] as const)
      await desk.rate(contract, 'gallon-loaded', price)
    for (const date of ['09', '10', '11', '12'])
      await desk.load(`2026-07-${date}T18:00`, 1000, { ticket: date })
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['1000', '2', '2000'], {
      ticket: '10',
      from_on: '2026-07-10',
    })
    await desk.line('C-1', 'I-1', '2', 'gallon-loaded', ['1000', '2', '2000'], {
      ticket: '11',
      from_on: '2026-07-11',
    })
    await desk.line('C-2', 'J-1', '1', 'gallon-loaded', ['1000', '3', '3000'], {
      ticket: '12',
      from_on: '2026-07-12',
    })
    expect((await said()).map(([finding]) => finding)).toEqual(['ok', 'outside-period', 'ok'])
    expect(await desk.unbilled()).toMatchObject([
      { contract: 'C-1', day: '2026-07-09', amount: '2000.00' },
      { contract: 'C-2', day: '2026-07-11', amount: '3000.00' },
    ])
  })

  test('an aircraft that both contracts still list: unbilled work is asked of the one that began last', async () => {
    await desk.contract('C-1')
    await desk.contract('C-2', { starts_on: '2026-07-11' })
    for (const [contract, price] of [
      ['C-1', '2'],
      ['C-2', '3'],
    ] as const)
      await desk.rate(contract, 'gallon-loaded', price)
    await desk.load('2026-07-10T18:00', 1000)
    await desk.load('2026-07-12T18:00', 1000)
    await desk.verdicts()
    expect((await desk.unbilled()).map((row) => [row.contract, row.day])).toEqual([
      ['C-1', '2026-07-10'],
      ['C-2', '2026-07-12'],
    ])
  })

  test('a fixed item is paid once for its days', async () => {
    await desk.contract('C-1')
    await desk.rate('C-1', 'fixed', '1500')
    for (const [line, from_on, price] of [
      ['1', '2026-07-01', '1500'],
      ['2', '2026-07-01', '1500'],
      ['3', '2026-07-15', '1600'],
    ] as const)
      await desk.line('C-1', 'I-1', line, 'fixed', ['1', price, price], { from_on, aircraft: null })
    expect(await said()).toEqual([
      ['ok', 1, '1500.00'],
      ['duplicate', 0, '0.00'],
      ['rate', 1, '1500.00'],
    ])
  })
})

describe('loads let go in an emergency or jettison', () => {
  test.each([
    ['paid', ['ok', 2000, '4000.00']],
    ['unpaid', ['quantity-over', 500, '1000.00']],
    [null, ['ok', 2000, '4000.00']],
  ] as const)('loaded gallons, rule %s', async (rule, want) => {
    await desk.contract('C-1', { emergency_rule: rule })
    await desk.rate('C-1', 'gallon-loaded', '2')
    const load = await desk.load('2026-07-04T18:00', 2000, { ticket: '1' })
    await desk.drop('2026-07-04T18:30', 500, { load })
    await desk.drop('2026-07-04T18:40', 1500, { load, purpose: 'jettison' })
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['2000', '2', '4000'], { ticket: '1' })
    expect(await said()).toEqual([want])
    expect(await desk.warehouse.value('SELECT let_go_quantity::DOUBLE FROM contracts.line')).toBe(1500)
  })

  test.each([
    ['paid', ['quantity-under', 3000, '6000.00']],
    ['unpaid', ['ok', 1000, '2000.00']],
    [null, ['ok', 1000, '2000.00']],
  ] as const)('delivered gallons, rule %s', async (rule, want) => {
    await desk.contract('C-1', { emergency_rule: rule })
    await desk.rate('C-1', 'gallon-delivered', '2')
    await desk.rate('C-1', 'flight-hour', '5000')
    await desk.flight('2026-07-04T18:00', 60)
    await desk.drop('2026-07-04T18:30', 600)
    await desk.drop('2026-07-04T18:35', 400)
    await desk.drop('2026-07-04T19:30', 2000, { purpose: 'emergency' })
    await desk.drop('2026-07-04T20:30', 900, { purpose: 'training' })
    await desk.line('C-1', 'I-1', '1', 'gallon-delivered', ['1000', '2', '2000'])
    await desk.line('C-1', 'I-1', '2', 'flight-hour', ['1', '5000', '5000'])
    expect(await said()).toEqual([want, ['ok', 1, '5000.00']])
  })
})

describe('credit notes', () => {
  beforeEach(async () => {
    await desk.contract('C-1')
    await desk.rate('C-1', 'gallon-loaded', '2')
    await desk.rate('C-1', 'flight-hour', '5000')
    await desk.load('2026-07-04T18:00', 2000, { ticket: 'T1' })
    await desk.flight('2026-07-04T18:00', 60)
  })

  test('a duplicate taken back: nothing is left in dispute', async () => {
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['2000', '2', '4000'], { ticket: 'T1' })
    await desk.line('C-1', 'I-1', '2', 'gallon-loaded', ['2000', '2', '4000'], { ticket: 'T-1' })
    await desk.line('C-1', 'I-2', '1', 'gallon-loaded', ['-2000', '2', '-4000'], { ticket: 't01' })
    expect(await said()).toEqual([
      ['ok', 2000, '4000.00'],
      ['ok', 2000, '4000.00'],
      ['ok', -2000, '-4000.00'],
    ])
  })

  test('a line taken back and billed anew', async () => {
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['2000', '3', '6000'], { ticket: 'T1' })
    await desk.line('C-1', 'I-2', '1', 'gallon-loaded', ['-2000', '3', '-6000'], { ticket: 'T1' })
    await desk.line('C-1', 'I-2', '2', 'gallon-loaded', ['2000', '2', '4000'], { ticket: 'T1' })
    const rows = await desk.verdicts()
    expect(rows.map((row) => row.findings[0])).toEqual(['ok', 'ok', 'ok'])
    expect(rows[0]!.message).toBe('taken back by I-2 line 1')
    expect(rows.map((row) => row.difference)).toEqual(['0.00', '0.00', '0.00'])
  })

  test('a line taken back and not billed anew leaves its work unbilled', async () => {
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['2000', '2', '4000'], { ticket: 'T1' })
    await desk.line('C-1', 'I-2', '1', 'gallon-loaded', ['-2000', '2', '-4000'], { ticket: 'T1' })
    expect((await said()).map(([finding]) => finding)).toEqual(['ok', 'ok'])
    expect((await desk.unbilled()).filter((row) => row.item === 'gallon-loaded')).toMatchObject([
      { amount: '4000.00' },
    ])
  })

  test('the hours that were too many, credited', async () => {
    await desk.line('C-1', 'I-1', '1', 'flight-hour', ['1.3', '5000', '6500'])
    await desk.line('C-1', 'I-2', '1', 'flight-hour', ['-0.3', '5000', '-1500'])
    expect(await said()).toEqual([
      ['ok quantity-over', 1.3, '6500.00'],
      ['ok', -0.3, '-1500.00'],
    ])
  })

  test('part of them credited: the rest stays in dispute', async () => {
    await desk.line('C-1', 'I-1', '1', 'flight-hour', ['1.3', '5000', '6500'])
    await desk.line('C-1', 'I-2', '1', 'flight-hour', ['-0.1', '5000', '-500'])
    const rows = await desk.verdicts()
    expect(rows.map((row) => [row.findings[0], row.difference])).toEqual([
      ['quantity-over', '1000.00'],
      ['ok', '0.00'],
    ])
  })

  test('more credited than was wrong is under-billed, and not netted', async () => {
    await desk.line('C-1', 'I-1', '1', 'flight-hour', ['1.3', '5000', '6500'])
    await desk.line('C-1', 'I-2', '1', 'flight-hour', ['-0.5', '5000', '-2500'])
    expect((await desk.verdicts()).map((row) => [row.findings[0], row.borne, row.difference])).toEqual([
      ['ok', '6500.00', '0.00'],
      ['quantity-under', '-1500.00', '-1000.00'],
    ])
  })

  test('a wrong price, credited by the difference', async () => {
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['2000', '2.5', '5000'], { ticket: 'T1' })
    await desk.line('C-1', 'I-2', '1', 'gallon-loaded', ['-2000', '0.5', '-1000'], { ticket: 'T1' })
    expect((await desk.verdicts()).map((row) => [row.findings.join(' '), row.difference])).toEqual([
      ['ok rate', '0.00'],
      ['ok', '0.00'],
    ])
  })

  test('a credit for a line that is not on record', async () => {
    await desk.line('C-1', 'I-2', '1', 'gallon-loaded', ['-2000', '2', '-4000'], { ticket: 'T5' })
    expect((await desk.verdicts()).map((row) => [row.findings, row.borne, row.difference])).toEqual([
      [['no-evidence'], '0.00', '-4000.00'],
    ])
  })
})

describe('records that are not whole', () => {
  test('a load whose ticket nobody handed in bears out the line whose ticket is missing', async () => {
    await desk.contract('C-1', { volume_tolerance_pct: 2 })
    await desk.rate('C-1', 'gallon-loaded', '2')
    await desk.load('2026-07-04T18:00', 2000)
    await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['1990', '2', '3980'], { ticket: 'T1' })
    expect(await said()).toEqual([['ok', 1990, '3980.00']])
    await desk.line('C-1', 'I-1', '2', 'gallon-loaded', ['1990', '2', '3980'], { ticket: 'T2' })
    expect((await said()).map(([finding]) => finding)).toEqual(['no-evidence', 'no-evidence'])
  })

  test('currencies stay apart', async () => {
    await desk.contract('C-1', { currency: 'USD' })
    await desk.contract('C-2', { currency: 'CAD', aircraft: ['N2'] })
    for (const contract of ['C-1', 'C-2']) await desk.rate(contract, 'flight-hour', '5000')
    await desk.flight('2026-07-04T18:00', 60)
    await desk.flight('2026-07-04T18:00', 60, { aircraft: 'N2' })
    await desk.verdicts()
    expect(
      await desk.warehouse.rows(
        'SELECT currency, sum(amount)::VARCHAR AS amount FROM contracts.unbilled GROUP BY currency ORDER BY currency',
      ),
    ).toEqual([
      { currency: 'CAD', amount: '5000.00' },
      { currency: 'USD', amount: '5000.00' },
    ])
  })
})

describe('meters', () => {
  test('a bias beyond the tolerance of the meter’s class names the tolerance and its source', async () => {
    await desk.base('JUN', '0.5')
    await desk.base('ALD', '1.5')
    await desk.base('OAK', '0.5')
    await desk.contract('C-1')
    await desk.rate('C-1', 'gallon-loaded', '2')
    await desk.load('2026-07-04T18:00', 2040)
    await desk.warehouse.append('account.meter_bias', {
      base: ['JUN', 'ALD', 'OAK'],
      pairs: [40, 40, 9],
      bias_pct: [2, 1.2, 6],
      low_pct: [1.6, 0.9, 4],
      high_pct: [2.4, 1.5, 8],
      applied_pct: [2, 1, 0],
    })
    await desk.verdicts()
    const rows = await desk.warehouse.rows<{ subject: string; severity: string; message: string }>(
      "SELECT subject, severity, message FROM contracts.finding WHERE finding = 'meter-out-of-tolerance'",
    )
    expect(rows).toMatchObject([{ subject: 'base JUN', severity: 'warning' }])
    expect(rows[0]!.message).toContain(
      'class 0.5 allows 0.5 % in service (Directive 2014/32/EU annex VII table 2 line A',
    )
    expect(await desk.warehouse.rows('SELECT base, loads, amount FROM contracts.loaded_at_base')).toEqual([
      { base: 'JUN', loads: 1, amount: '4080.00' },
    ])
  })
})
