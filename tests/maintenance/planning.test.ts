import { parseHTML } from 'linkedom'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Catalogue } from '../../src/catalogue/index.ts'
import { openCatalogue } from '../../src/commands/catalogue.ts'
import { dayNumber, dayText } from '../../src/maintenance/day.ts'
import { makeReport, type ReportKind } from '../../src/report/index.ts'
import type { Warehouse } from '../../src/warehouse/index.ts'
import { register } from '../account/fixture.ts'
import { bursty, USUAL } from '../statistics/bursty-seasons.ts'
import { fleetWarehouse } from './fleet.ts'

type Row = Record<string, unknown>

let warehouse: Warehouse
let catalogue: Catalogue
const ask = async (name: string, params: Row = {}): Promise<Row[]> =>
  (await (
    await catalogue.run(warehouse, name, { as_of: '2023-07-15', ...params } as never)
  ).toObjects()) as Row[]

beforeAll(async () => {
  warehouse = await fleetWarehouse(bursty(4, { ...USUAL, units: 3, seasons: 4 }))
  catalogue = openCatalogue()
  await register(warehouse, 'component', [
    { serial: 'D-1', kind: 'door' },
    { serial: 'D-2', kind: 'door' },
    { serial: 'D-3', kind: 'door' },
    { serial: 'H-1', kind: 'hose' },
  ])
  const fitted = '2020-01-01T00:00:00'
  await register(warehouse, 'fitting', [
    { component: 'D-1', tank: 'K-1', position: 'door-1', on_at: fitted },
    { component: 'D-2', tank: 'K-1', position: 'door-2', on_at: fitted, off_at: '2023-07-01T00:00:00' },
    { component: 'D-3', tank: 'K-1', position: 'door-2', on_at: '2023-07-01T00:00:00' },
    { component: 'H-1', tank: 'K-2', position: 'hose', on_at: fitted },
  ])
  await warehouse.run(`INSERT INTO account.fitting SELECT f.component, c.kind, f.tank, f.position, f.on_at, f.off_at
    FROM obs.fitting f JOIN obs.component c ON c.serial = f.component`)
  await register(warehouse, 'task', [
    { task: 'DH', applies_to: 'door', counter: 'door-cycles', interval: '120', tolerance: 5 },
    { task: 'DH', applies_to: 'door', counter: 'days', interval: '6mo', tolerance: 14 },
    { task: 'DL', applies_to: 'door', counter: 'door-cycles', interval: '5000', repeats: 'no' },
    { task: 'TW', applies_to: 'tank', counter: 'retardant-openings', interval: '60', tolerance: 5 },
    { task: 'HX', applies_to: 'hose', counter: 'days', interval: '40' },
  ])
  await register(warehouse, 'accomplishment', [
    { task: 'DH', item: 'D-1', done_at: '2023-07-01T00:00:00' },
    { task: 'TW', item: 'K-1', done_at: '2023-07-10T00:00:00' },
    { task: 'TW', item: 'K-2', done_at: '2023-07-10T00:00:00' },
    { task: 'TW', item: 'K-3', done_at: '2023-06-01T00:00:00' },
    { task: 'HX', item: 'H-1', done_at: '2023-07-01T00:00:00' },
  ])
})
afterAll(() => warehouse.close())

describe('the due list', () => {
  test('holds what is fitted, not what was removed; a new part counts from its fitting', async () => {
    const rows = await ask('inspections-due')
    expect(rows.map((row) => row.item)).not.toContain('D-2')
    const cycles = await ask('tank-cycles')
    for (const row of rows.filter((one) => one.counter !== 'days')) {
      const cycle = cycles.find((one) => one.item === row.item && one.counter === row.counter)!
      expect([row.item, row.counter, row.total]).toEqual([row.item, row.counter, cycle.total])
    }
    const fresh = rows.find(
      (row) => row.item === 'D-3' && row.task === 'DH' && row.counter === 'door-cycles',
    )!
    expect(fresh.limit_at).toBe(120)
    expect(Number(fresh.total)).toBeLessThan(60)
  })

  test('each task on an item has one limit that governs', async () => {
    const rows = await ask('inspections-due')
    const governing = rows.filter((row) => row.governs).map((row) => `${row.task} ${row.item}`)
    expect(governing.sort()).toEqual([...new Set(rows.map((row) => `${row.task} ${row.item}`))].sort())
  })

  test('one seed gives one list; another moves the dates a little; one tank alone is the same', async () => {
    const rows = await ask('inspections-due')
    expect(await ask('inspections-due', { seed: 1 })).toEqual(rows)
    const other = await ask('inspections-due', { seed: 2 })
    expect(other).not.toEqual(rows)
    expect(other.map((row) => row.total).sort()).toEqual(rows.map((row) => row.total).sort())
    expect(await ask('inspections-due', { tank: 'K-1' })).toEqual(rows.filter((row) => row.tank === 'K-1'))
  })

  test('nothing is looked at that comes after the day', async () => {
    const before = await ask('inspections-due', { as_of: '2023-06-20' })
    await warehouse.run(`CREATE TABLE kept AS FROM account."drop" WHERE operating_day > DATE '2023-06-20'`)
    await warehouse.run(`DELETE FROM account."drop" WHERE operating_day > DATE '2023-06-20'`)
    const blind = openCatalogue()
    const rows = await (
      await blind.run(warehouse, 'inspections-due', { as_of: '2023-06-20', seed: 1 })
    ).toObjects()
    await warehouse.run(`INSERT INTO account."drop" FROM kept; DROP TABLE kept`)
    expect(rows).toEqual(before)
  })
})

describe('what if', () => {
  const of = (rows: Row[], task: string, item: string, counter: string): Row =>
    rows.find((row) => row.task === task && row.item === item && row.counter === counter)!

  test('nothing planned: nothing moves', async () => {
    for (const row of await ask('due-what-if')) {
      expect([row.plan, row.limit_at, row.due_on_p50, row.status]).toEqual([
        null,
        row.now_limit_at,
        row.now_due_on_p50,
        row.now_status,
      ])
    }
  })

  test('more openings a day bring counted limits nearer, and leave the calendar', async () => {
    const rows = await ask('due-what-if', { per_day: 12 })
    const wash = of(rows, 'TW', 'K-1', 'retardant-openings')
    expect(String(wash.due_on_p50) < String(wash.now_due_on_p50)).toBe(true)
    expect(Number(wash.moved_days)).toBeLessThan(0)
    expect(of(rows, 'DH', 'D-1', 'days').moved_days).toBe(0)
  })

  test('work today starts a new interval from today; every limit of the task resets', async () => {
    const rows = await ask('due-what-if', { done: 'DH@D-1@2023-07-15' })
    const cycles = of(rows, 'DH', 'D-1', 'door-cycles')
    expect(cycles.remaining).toBe(120)
    expect(cycles.plan).toBe('done on 2023-07-15')
    expect(of(rows, 'DH', 'D-1', 'days').due_on_p50).toBe('2024-01-15')
    expect(of(rows, 'DL', 'D-1', 'door-cycles').plan).toBeNull()
    expect(of(rows, 'DH', 'D-3', 'door-cycles').moved_days).toBe(0)
  })

  test('work in three weeks moves the date later, and says how likely the limit comes before it', async () => {
    const [near, far] = await Promise.all(
      ['2023-08-05', '2023-09-20'].map((day) => ask('due-what-if', { done: `TW@K-1@${day}` })),
    )
    const soon = of(near!, 'TW', 'K-1', 'retardant-openings')
    const late = of(far!, 'TW', 'K-1', 'retardant-openings')
    expect(String(soon.due_on_p50) > String(soon.now_due_on_p50)).toBe(true)
    expect(Number(soon.chance_due_before)).toBeGreaterThanOrEqual(0)
    expect(Number(late.chance_due_before)).toBeGreaterThan(Number(soon.chance_due_before))
    expect(Number(late.chance_due_before)).toBeLessThanOrEqual(1)
  })

  test('a season that begins later moves counted limits past its first day, and leaves the calendar', async () => {
    const rows = await ask('due-what-if', { window: '2024-06-01..2024-09-30' })
    const wash = of(rows, 'TW', 'K-1', 'retardant-openings')
    expect(String(wash.now_due_on_p50) < '2024-06-01').toBe(true)
    expect(String(wash.due_on_p10) >= '2024-06-01').toBe(true)
    expect(of(rows, 'DH', 'D-1', 'days').moved_days).toBe(0)
  })

  test('a new door starts at nothing, its life limit too', async () => {
    const rows = await ask('due-what-if', { swap: 'D-1@2023-07-15' })
    expect(of(rows, 'DH', 'D-1', 'door-cycles')).toMatchObject({ limit_at: 120, remaining: 120 })
    expect(of(rows, 'DL', 'D-1', 'door-cycles')).toMatchObject({ limit_at: 5000, remaining: 5000 })
  })

  test('the account is not touched', async () => {
    const before = await ask('inspections-due')
    await ask('due-what-if', { done: 'DH@D-1@2023-07-15', swap: 'D-3@2023-07-20', per_day: 3 })
    expect(await ask('inspections-due')).toEqual(before)
  })

  test.each([
    [{ done: 'DH D-1' }, /done=DH D-1 is no planned work; write it as task@item@/],
    [{ done: 'DH@D-1@2023-02-30' }, /is no planned work/],
    [{ done: 'XX@D-1@2023-08-01' }, /no task XX stands on the due list of D-1/],
    [{ swap: 'D-9@2023-08-01' }, /no fitted part D-9/],
    [{ swap: 'K-1@2023-08-01' }, /no fitted part K-1/],
    [{ window: '2024-06-01' }, /window=2024-06-01 is no season; write it as 2027-05-15\.\.2027-10-10/],
    [{ window: '2024-09-30..2024-06-01' }, /is no season/],
    [{ window: '2022-06-01..2022-09-30' }, /is over by 2023-07-15/],
    [{ per_day: -1 }, /per_day=-1 is below 0/],
  ])('%j is refused with what to do', async (params, message) => {
    await expect(ask('due-what-if', params)).rejects.toThrow(message)
  })
})

describe('work list', () => {
  test('every task within the year stands on one visit, no later than its first visit may wait', async () => {
    const due = (await ask('inspections-due')).filter((row) => row.governs)
    const list = await ask('work-list')
    const key = (row: Row): string => `${row.task} ${row.item}`
    const year = dayText(dayNumber('2023-07-15') + 365)
    const expected = due.filter((row) => row.due_on_p10 !== null && String(row.due_on_p10) <= year)
    expect(expected.length).toBeGreaterThan(4)
    expect(list.map(key).sort()).toEqual(expected.map(key).sort())
    for (const row of list) {
      if (row.due_on_p10 !== null && String(row.due_on_p10) >= '2023-07-15')
        expect(String(row.visit_on) <= String(row.due_on_p10)).toBe(true)
      expect(String(row.visit_on) >= '2023-07-15').toBe(true)
    }
  })

  test('each visit has a reason; a longer look ahead makes fewer visits', async () => {
    const visits = (rows: Row[]): string[] => [...new Set(rows.map((row) => `${row.tank} ${row.visit}`))]
    const list = await ask('work-list')
    for (const visit of visits(list))
      expect(list.some((row) => `${row.tank} ${row.visit}` === visit && row.is_reason)).toBe(true)
    const none = await ask('work-list', { ahead: 0 })
    const long = await ask('work-list', { ahead: 300 })
    expect(visits(none).length).toBeGreaterThan(visits(long).length)
    expect(visits(list).length).toBeGreaterThanOrEqual(visits(long).length)
  })
})

test('burn-down ends where the due list stands', async () => {
  const rows = await ask('burn-down', { item: 'K-1' })
  const due = (await ask('inspections-due')).find((row) => row.item === 'K-1' && row.task === 'TW')!
  expect(rows.length).toBeGreaterThan(10)
  expect(rows.at(-1)).toMatchObject({ total: due.total, limit_at: due.limit_at })
  const totals = rows.map((row) => Number(row.total))
  expect([...totals].sort((a, b) => a - b)).toEqual(totals)
})

test('the fan begins where the burn-down ends, never rises, and meets zero on the due days', async () => {
  const rows = await ask('burn-down-ahead', { item: 'K-1' })
  const due = (await ask('inspections-due')).find((row) => row.item === 'K-1' && row.task === 'TW')!
  expect(rows.length).toBeGreaterThan(20)
  const left = Number(due.remaining)
  let before = { left_low: left, left_middle: left, left_high: left }
  for (const row of rows as unknown as (typeof before & { day: string })[]) {
    expect(row.left_low <= row.left_middle && row.left_middle <= row.left_high).toBe(true)
    for (const name of ['left_low', 'left_middle', 'left_high'] as const)
      expect(row[name]).toBeLessThanOrEqual(before[name])
    before = row
  }
  // Every fourth day is kept, so a curve meets zero at most four days after its due day.
  for (const [name, day] of [
    ['left_low', due.due_on_p10],
    ['left_middle', due.due_on_p50],
  ] as const) {
    const met = rows.find((row) => Number(row[name]) < 1)!
    expect(Math.abs(dayNumber(String(met.day)) - dayNumber(String(day)))).toBeLessThanOrEqual(5)
  }
})

test('the events behind a count sum to it, part by part', async () => {
  const cycles = await ask('tank-cycles', { tank: 'K-1' })
  const door = cycles.find((row) => row.item === 'D-1' && row.counter === 'door-cycles')!
  const of = (part: string): Promise<Row[]> =>
    ask('count-events', { item: 'D-1', counter: 'door-cycles', part })
  expect(Number(door.total)).toBeGreaterThan(100)
  for (const part of ['recorded', 'counted', 'inferred', 'assumed', 'since_last', 'total'])
    expect([part, (await of(part)).reduce((sum, row) => sum + Number(row.adds), 0)]).toEqual([
      part,
      door[part],
    ])
  const rows = await of('total')
  expect(rows.at(-1)!.reached).toBe(door.total)
  expect(rows.every((row) => String(row.evidence).startsWith('drop:D-K-1-'))).toBe(true)
  expect(rows.every((row) => String(row.day) <= '2023-07-15')).toBe(true)
})

test('the life of a tank on one line: fittings with the openings they saw, and the work', async () => {
  const rows = (await (await catalogue.run(warehouse, 'tank-life', { tank: 'K-1' })).toObjects()) as Row[]
  const fittings = rows.filter((row) => row.what === 'fitting')
  expect(fittings.map((row) => [row.item, row.position, row.to_at])).toEqual([
    ['D-1', 'door-1', null],
    ['D-2', 'door-2', '2023-07-01T00:00:00Z'],
    ['D-3', 'door-2', null],
  ])
  const openings = fittings.map((row) => Number(row.openings))
  expect(openings[1]! + openings[2]!).toBe(openings[0])
  expect(rows.filter((row) => row.what === 'work').map((row) => [row.item, row.detail])).toEqual([
    ['D-1', 'DH'],
    ['K-1', 'TW'],
  ])
})

test('the conversion sheet of a tank: what it is, what it has counted, what is due before it serves again', async () => {
  const rows = await ask('conversion-sheet', { tank: 'K-1', as_of: '2023-12-20' })
  const due = await ask('inspections-due', { tank: 'K-1', as_of: '2023-12-20' })
  const of = (section: string): Row[] => rows.filter((row) => row.section === section)
  expect(of('tank')).toHaveLength(1)
  expect(of('last work').map((row) => [row.item, row.what, row.due])).toEqual([
    ['D-1', 'DH', '2023-07-01'],
    ['K-1', 'TW', '2023-07-10'],
  ])
  const cycles = (await ask('tank-cycles', { tank: 'K-1', as_of: '2023-12-20' })).find(
    (row) => row.item === 'D-1' && row.counter === 'door-cycles',
  )!
  expect(of('counts').find((row) => row.item === 'D-1' && row.what === 'door-cycles')!.value).toBe(
    cycles.total,
  )
  expect(of('counts').map((row) => row.item)).not.toContain('D-2')
  expect(of('before service')).toHaveLength(due.filter((row) => row.status !== 'ok').length)
  expect(of('later')).toHaveLength(due.filter((row) => row.status === 'ok').length)
  expect(due.some((row) => row.status !== 'ok') && due.some((row) => row.status === 'ok')).toBe(true)
})

describe('on paper and in a workbook', () => {
  const report = (kind: ReportKind, params = {}) =>
    makeReport(kind, {
      catalogue,
      warehouse,
      params: { as_of: '2023-12-20', ...params },
      fingerprint: 'abc',
      madeAt: new Date('2023-12-20T12:00:00Z'),
      version: 'test',
    })
  const caution =
    'This is a planning aid. The approved inspection programme, the maintenance manual and licensed staff decide.'

  test('the work list has one table for each visit, room to sign, and the caution', async () => {
    const list = await report('work-list')
    const { document } = parseHTML(list.toHtml())
    const rows = await ask('work-list', { as_of: '2023-12-20' })
    const visits = new Set(rows.map((row) => `Tank ${row.tank} on ${row.visit_on}`))
    const titles = [...document.querySelectorAll('caption')].map((one) => one.textContent)
    expect(visits.size).toBeGreaterThan(1)
    for (const visit of visits) expect(titles).toContain(visit)
    expect(document.querySelector('.caution')!.textContent).toContain(caution)
    expect([...document.querySelectorAll('th')].map((one) => one.textContent).join(' ')).toMatch(/signed/i)
    expect((await list.toXlsx()).length).toBeGreaterThan(5000)
  })

  test('the conversion sheet of one tank names its parts and the caution', async () => {
    const sheet = await report('conversion', { tank: 'K-1' })
    const { document } = parseHTML(sheet.toHtml())
    expect(document.querySelector('.lead')!.textContent).toMatch(
      /^Tank K-1: \d+ limits? to look at before service/,
    )
    expect(document.querySelector('.caution')!.textContent).toContain(caution)
    const text = document.body.textContent!
    for (const part of [
      'D-1',
      'D-3',
      'Counts, and since the last inspection',
      'Due before it may go back in service',
    ])
      expect(text).toContain(part)
    expect(text).not.toContain('K-2')
    expect((await sheet.toXlsx()).length).toBeGreaterThan(5000)
  })
})
