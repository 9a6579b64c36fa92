import { parseHTML } from 'linkedom'
import { describe, expect, test } from 'vitest'
import { baseHourLoad } from '../../dashboards/charts/base-hour-load.ts'
import { biasIntervals } from '../../dashboards/charts/bias-intervals.ts'
import { burnDown } from '../../dashboards/charts/burn-down.ts'
import type { Chart } from '../../dashboards/charts/chart.ts'
import { completenessGrid } from '../../dashboards/charts/completeness-grid.ts'
import { controlChart } from '../../dashboards/charts/control-chart.ts'
import { cumulativeByFire } from '../../dashboards/charts/cumulative-by-fire.ts'
import { dropMap } from '../../dashboards/charts/drop-map.ts'
import { dueShift } from '../../dashboards/charts/due-shift.ts'
import { dueWindows } from '../../dashboards/charts/due-windows.ts'
import { gallonsByFire } from '../../dashboards/charts/gallons-by-fire.ts'
import { gallonsPerHour } from '../../dashboards/charts/gallons-per-hour.ts'
import { byFinding, invoiceWaterfall } from '../../dashboards/charts/invoice-waterfall.ts'
import { lineBuilt } from '../../dashboards/charts/line-built.ts'
import { outcomeDifferences } from '../../dashboards/charts/outcome-differences.ts'
import { outcomeIntervals } from '../../dashboards/charts/outcome-intervals.ts'
import { gallonsPerHour as perHour, productivityCurve } from '../../dashboards/charts/productivity-curve.ts'
import { seasonCalendar } from '../../dashboards/charts/season-calendar.ts'
import { tankLife } from '../../dashboards/charts/tank-life.ts'
import { traceOverlay } from '../../dashboards/charts/trace-overlay.ts'
import { turnaroundParts } from '../../dashboards/charts/turnaround-parts.ts'
import { outlines } from '../../dashboards/map/outlines.ts'
import { gallonsPerHour as byTheHouse } from '../../src/effectiveness/cycle-time.ts'

const { document } = parseHTML('<!doctype html><html><body></body></html>')
const options = { document: document as unknown as Document }

const fluids = { water_gal: 0, retardant_gal: 0, gel_gal: 0, foam_gal: 0 }
const fire = (name: string, gallons: number) => ({
  fire: name,
  name,
  drops: 2,
  gallons,
  ...fluids,
  retardant_gal: gallons,
  flight_hours: 1,
  gallons_per_flight_hour: gallons,
})

const times = {
  base: 'JUN',
  name: 'Juniper Flat',
  turnarounds: 40,
  distance_nm: 60,
  gallons_per_turnaround: 2000,
  fill_min: 4,
  fixed_min: 30,
  speed_kt: 240,
  fitted: 40,
}
const difference = (group: string, value: number, low: number, high: number) => ({
  rate: 'success',
  group_name: group,
  against: 'all others',
  yes: 30,
  known: 40,
  group_rate: 0.75,
  against_known: 40,
  against_rate: 0.75 - value,
  difference: value,
  low,
  high,
  is_different: low > 0 || high < 0,
  is_small: false,
})

const overdue = {
  task: 'DH',
  item: 'D-A',
  counter: 'door-cycles',
  limit_at: 110,
  total: 106,
  remaining: 4,
  due_on_p10: '2026-08-01',
  due_on_p50: '2026-08-11',
  due_on_p90: '2026-09-01',
  status: 'overdue',
  governs: true,
}

/** A few rows of each chart, the marks that they must make, and what the title must say of them. */
const cases: [Chart<never>, object[], string, number, RegExp][] = [
  [
    seasonCalendar as Chart<never>,
    [
      { day: '2026-07-04', drops: 3, gallons: 2980 },
      { day: '2026-07-06', drops: 1, gallons: 1010 },
    ],
    'g > rect',
    3,
    /^2 days with drops; the busiest was 4 July$/,
  ],
  [
    gallonsByFire as Chart<never>,
    [fire('F-1', 2980), fire('F-2', 1010)],
    'rect',
    2,
    /^F-1 took 75 % of the volume$/,
  ],
  [
    cumulativeByFire as Chart<never>,
    [
      { fire: 'F-1', name: null, day: '2026-07-04', gallons: 980 },
      { fire: 'F-1', name: null, day: '2026-07-05', gallons: 2000 },
    ],
    'path[stroke-linejoin], g[stroke-linejoin] path',
    1,
    /^F-1 had half of its 2,980.gal by 5 July$/,
  ],
  [
    baseHourLoad as Chart<never>,
    [
      { base: 'JUN', hour: 12, loads: 3 },
      { base: 'JUN', hour: 14, loads: 1 },
    ],
    'rect',
    5,
    /JUN is busiest at 12:00: 75 % of its loads/,
  ],
  [
    gallonsPerHour as Chart<never>,
    [
      {
        flight: 'F-a',
        aircraft: 'N801ZY',
        day: '2026-07-04',
        airborne_hours: 1,
        gallons: 1995,
        flights: 1,
        low: 1995,
        middle: 1995,
        high: 1995,
      },
    ],
    'circle',
    1,
    /^N801ZY delivered 1,995.gal\/h on its median mission flight$/,
  ],
  [
    burnDown as Chart<never>,
    [
      {
        item: 'D-A',
        task: 'DH',
        counter: 'door-cycles',
        day: '2026-07-01',
        total: 100,
        limit_at: 110,
        due_on_p10: '2026-08-01',
        due_on_p50: '2026-08-11',
        due_on_p90: '2026-09-01',
      },
      {
        item: 'D-A',
        task: 'DH',
        counter: 'door-cycles',
        day: '2026-07-31',
        total: 106,
        limit_at: 110,
        due_on_p10: '2026-08-01',
        due_on_p50: '2026-08-11',
        due_on_p90: '2026-09-01',
      },
    ],
    'circle',
    4,
    /^D-A has 4 door-cycles left to DH; likely due 11 August, not before 1 August/,
  ],
  [
    dueWindows as Chart<never>,
    [overdue],
    'rect',
    1,
    /^1 inspection overdue, 0 to plan; next: D-A, DH, about 11 August 2026$/,
  ],
  [
    dueShift as Chart<never>,
    [
      {
        task: 'DH',
        item: 'D-A',
        counter: 'door-cycles',
        plan: 'done on 2026-08-01',
        governs: true,
        now_due_on_p10: '2026-08-01',
        now_due_on_p50: '2026-08-11',
        now_due_on_p90: '2026-09-01',
        due_on_p10: '2026-09-01',
        due_on_p50: '2026-09-20',
        due_on_p90: '2027-06-01',
        now_status: 'plan',
        status: 'plan',
        moved_days: 40,
        chance_due_before: 0.1,
      },
      {
        task: 'TW',
        item: 'K-1',
        counter: 'days',
        plan: null,
        governs: true,
        now_due_on_p10: '2026-08-11',
        now_due_on_p50: '2026-08-11',
        now_due_on_p90: '2026-08-11',
        due_on_p10: '2026-08-11',
        due_on_p50: '2026-08-11',
        due_on_p90: '2026-08-11',
        now_status: 'ok',
        status: 'ok',
        moved_days: 0,
        chance_due_before: null,
      },
    ],
    'rect',
    2,
    /^1 limit would fall due later$/,
  ],
  [
    tankLife as Chart<never>,
    [
      ['mounting', 'K-1', 'tank', null, 'N801ZY', '2026-05-01T00:00:00Z', '2026-07-01T00:00:00Z', 40],
      ['mounting', 'K-1', 'tank', null, 'N802ZY', '2026-07-02T00:00:00Z', null, 12],
      ['fitting', 'D-A', 'door', 'door-1', null, '2026-05-01T00:00:00Z', '2026-06-15T00:00:00Z', 30],
      ['fitting', 'D-B', 'door', 'door-1', null, '2026-06-15T00:00:00Z', null, 22],
      ['work', 'D-A', 'door', 'door-1', null, '2026-05-20T00:00:00Z', null, 10],
      ['emergency-release', 'K-1', 'tank', null, 'N801ZY', '2026-06-20T00:00:00Z', null, 31],
    ].map(([what, item, kind, position, aircraft, from_at, to_at, openings]) => ({
      tank: 'K-1',
      what,
      item,
      kind,
      position,
      aircraft,
      from_at,
      to_at,
      openings,
      detail: null,
      evidence: null,
    })),
    'rect',
    4,
    /^K-1 has served N801ZY and N802ZY \(on N802ZY\); 1 component swap$/,
  ],
  [
    invoiceWaterfall as Chart<never>,
    [
      {
        invoice: 'I',
        line: 1,
        finding: 'ok',
        billed_amount: '6500.00',
        supported_amount: '6500.00',
        difference_amount: '0.00',
      },
      {
        invoice: 'I',
        line: 2,
        finding: 'duplicate',
        billed_amount: '6500.00',
        supported_amount: '0.00',
        difference_amount: '6500.00',
      },
      {
        invoice: null,
        line: null,
        finding: 'unbilled',
        billed_amount: null,
        supported_amount: '6500.00',
        difference_amount: '-6500.00',
      },
    ],
    'rect',
    3,
    /^50 % of 13,000\.00 rests on the record; most of the gap is duplicate$/,
  ],
  [
    controlChart as Chart<never>,
    [1, 2, 3].map((at) => ({
      tank: 'K-1',
      drop: `D-${at}`,
      dropped_at: '2026-07-04T18:30:20Z',
      error_pct: at,
      ewma_pct: at,
      limit_pct: 2.5,
      is_alarm: at === 3,
      run: 1,
    })),
    'circle',
    3,
    /^K-1 left its limits on 4 July, at 3\.0 %$/,
  ],
  [
    traceOverlay as Chart<never>,
    [0, 1, 2, 3, 4].map((second) => ({
      trace: 1,
      drop: 'D-1',
      tank: 'K-1',
      run: 1,
      t_s: second,
      level_gal: Math.max(0, 2000 - 1000 * Math.max(0, second - 1)),
    })),
    'g[stroke-linejoin] path, path',
    1,
    /^Half of 1 release were out within 1\.0 s/,
  ],
  [
    outcomeIntervals as Chart<never>,
    [
      {
        group_name: 'halt',
        assessed: 20,
        met_fire: 15,
        interaction_rate: 0.75,
        interaction_low: 0.5,
        interaction_high: 0.9,
        effective: 12,
        not_effective: 4,
        success_rate: 0.75,
        success_low: 0.505,
        success_high: 0.898,
      },
    ],
    'circle',
    1,
    /^halt: 75 % of known outcomes were effective$/,
  ],
  [
    biasIntervals(
      'meter-bias',
      'base',
      'pairs',
      'Ticket against gauge, percent, 95 % interval.',
    ) as Chart<never>,
    [
      { label: 'SAG', count: 40, bias_pct: 3.1, low_pct: 2.2, high_pct: 4 },
      { label: 'JUN', count: 40, bias_pct: 0.1, low_pct: -1, high_pct: 1 },
    ],
    'circle',
    2,
    /^SAG is off by \+3\.1 %; 1 of 2 bases is off by more than chance explains$/,
  ],
  [
    turnaroundParts as Chart<never>,
    [
      {
        base: 'JUN',
        turnarounds: 3,
        median_min: 90,
        p90_min: 90,
        fill_min: 10,
        out_min: 30,
        scene_min: 6,
        back_min: 30,
      },
    ],
    'rect',
    5,
    /^JUN: 90 min load to load, 30 of them out$/,
  ],
  [
    completenessGrid as Chart<never>,
    [
      {
        aircraft: 'N801ZY',
        day: '2026-07-04',
        witness: 'crew',
        flights: 2,
        events: 0,
        last_arrived_at: null,
      },
    ],
    'path',
    1,
    /^1 report missing; the oldest is the crew of N801ZY for 4 July$/,
  ],
  [
    lineBuilt('fire') as Chart<never>,
    [
      {
        group_name: 'F-1',
        name: 'Lost Spur',
        drops: 10,
        bound_drops: 10,
        bound_chains: 120,
        bound_ft_per_drop: 792,
        bound_ft_per_flight_hour: 1500,
        observed_drops: 4,
        observed_chains: 36,
        observed_ft_per_drop: 594,
        observed_of_bound: 0.75,
      },
      {
        group_name: 'F-2',
        name: null,
        drops: 2,
        bound_drops: 2,
        bound_chains: 20,
        bound_ft_per_drop: 660,
        bound_ft_per_flight_hour: null,
        observed_drops: 0,
        observed_chains: null,
        observed_ft_per_drop: null,
        observed_of_bound: null,
      },
    ],
    'rect',
    3,
    /^At the levels set, at most 140\Wchains of line; observers saw 75 % of it on the 4 drops that they judged$/,
  ],
  [
    outcomeDifferences('outcome-success-differences', 'effective') as Chart<never>,
    [difference('grass', 0.23, 0.04, 0.38), difference('brush', -0.05, -0.2, 0.1)],
    'circle',
    2,
    /^grass was effective more often than all others: \+23 points \(\+4 to \+38\)$/,
  ],
  [
    productivityCurve(times, { nearer_nm: 20, faster_min: 2 }) as Chart<never>,
    [5, 15, 25].map((distance_nm) => ({
      base: 'JUN',
      distance_nm,
      gallons_per_hour: perHour(times, distance_nm),
      turnarounds: 3,
      observed_gallons_per_hour: 2100,
      asked_gallons_per_hour: 2500,
    })),
    'circle',
    3,
    // 60 · 2000 / (30 + 0.5 · 60) = 2000; 60 · 2000 / (28 + 0.5 · 40) = 2500.
    /^JUN gives 2,000\Wgal\/h at its median of 60\WNM; 20\WNM nearer and a fill 2 min shorter would give 2,500\Wgal\/h \(\+25 %\)$/,
  ],
  [
    dropMap(outlines) as Chart<never>,
    [
      {
        what: 'drop',
        id: 'D-1',
        label: 'a',
        latitude: 43,
        longitude: -115,
        drops: 1,
        volume_gal: 980,
        fluid: 'retardant',
      },
      {
        what: 'drop',
        id: 'D-2',
        label: 'b',
        latitude: null,
        longitude: null,
        drops: 2,
        volume_gal: 980,
        fluid: null,
      },
    ],
    'circle',
    1,
    /^1 drop of 3 have a position; 2 drops cannot be shown$/,
  ],
]

describe.each(cases.map((one) => [one[0].name, ...one] as const))(
  '%s',
  (_name, chart, rows, marks, count, title) => {
    test('says what the rows say', () => {
      expect(chart.finding(rows as never[], options)).toMatch(title)
      expect(chart.caption(rows as never[], options).length).toBeGreaterThan(20)
      expect(chart.describe(rows as never[], options).length).toBeGreaterThan(20)
    })

    test.each([680, 360])('is drawn outside a browser at %i px, one mark for each thing', (width) => {
      const svg = chart.draw(rows as never[], { width }, options)
      expect(svg.tagName.toLowerCase()).toBe('svg')
      expect(Number(svg.getAttribute('width'))).toBeLessThanOrEqual(width)
      expect(svg.querySelectorAll(marks).length).toBeGreaterThanOrEqual(count)
      expect(svg.outerHTML).not.toMatch(/NaN|Infinity|undefined/)
    })

    test('the same rows make the same drawing', () => {
      const once = chart.draw(rows as never[], { width: 680 }, options).outerHTML
      const again = chart.draw([...rows] as never[], { width: 680 }, options).outerHTML
      const plain = (text: string): string => text.replace(/plot-[0-9a-z]+|-clip-\d+/g, '')
      expect(plain(again)).toBe(plain(once))
    })

    test('no rows make a sentence and a drawing, never an error', () => {
      expect(chart.finding([], options).length).toBeGreaterThan(10)
      expect(chart.describe([], options).length).toBeGreaterThan(5)
      expect(chart.draw([], { width: 680 }, options).outerHTML).not.toMatch(/NaN|Infinity|undefined/)
    })
  },
)

test('every chart has its own name, and a table of known columns', () => {
  const names = cases.map(([chart]) => chart.name)
  expect(new Set(names).size).toBe(names.length)
  for (const [chart, rows] of cases) {
    if (chart.name === 'invoice-waterfall') continue
    const known = new Set([...rows.flatMap((row) => Object.keys(row)), 'airborne_hours', 'hold_min'])
    expect(chart.columns.map((column) => column.name).filter((name) => !known.has(name))).toEqual([])
  }
})

test('the waterfall leaves out what was never billed, and sums each finding once', () => {
  const row = (finding: string, difference: string | null) => ({
    invoice: 'I',
    line: 1,
    finding,
    billed_amount: null,
    supported_amount: null,
    difference_amount: difference,
  })
  expect(
    byFinding([
      row('rate', '540.00'),
      row('rate', '10.00'),
      row('duplicate', null),
      row('unbilled', '-6500.00'),
    ]),
  ).toMatchObject([{ finding: 'rate', lines: 2, difference_amount: '550.00' }])
})

test('the page works out what a nearer base or a faster fill gives as the warehouse does', () => {
  const cycle = {
    turnarounds: 40,
    fitted: 40,
    fixed_min: times.fixed_min,
    minutes_per_nm: 120 / times.speed_kt,
    low_per_nm: null,
    high_per_nm: null,
    fill_min: times.fill_min,
    gallons: times.gallons_per_turnaround,
  }
  for (const distance of [0, 12, 60, 140])
    for (const faster of [0, 3])
      expect(perHour(times, distance, faster)).toBeCloseTo(byTheHouse(cycle, distance, faster)!, 9)
  // A fill cannot be shortened by more than it takes, and a base cannot be nearer than on the fire.
  expect(perHour(times, 60, 99)).toBe(perHour(times, 60, times.fill_min))
  expect(perHour(times, -5)).toBe(perHour(times, 0))
  expect(perHour({ ...times, speed_kt: null }, 60)).toBeNull()
  expect(
    productivityCurve({ ...times, speed_kt: null, fitted: 4 }, { nearer_nm: 1, faster_min: 1 }).finding(
      [],
      options,
    ),
  ).toBe('JUN has too few turnarounds with known legs for a curve (4; 10 are needed)')
})

test('groups too small to speak are drawn, and not set against the others', () => {
  const group = (name: string, yes: number, no: number) => ({
    group_name: name,
    assessed: yes + no,
    met_fire: yes,
    interaction_rate: null,
    interaction_low: null,
    interaction_high: null,
    effective: yes,
    not_effective: no,
    success_rate: yes / (yes + no),
    success_low: 0.1,
    success_high: 0.95,
  })
  const rows = [group('unknown', 40, 0), group('slash', 2, 0), group('grass', 30, 10), group('brush', 20, 20)]
  expect(outcomeIntervals.finding(rows, options)).toBe(
    'The intervals overlap: grass (75 %) cannot be told from brush (50 %)',
  )
  expect(outcomeIntervals.draw(rows, { width: 680 }, options).querySelectorAll('circle').length).toBe(4)
})

test('a tank whose mean came back within its limits after an alarm says so', () => {
  const rows = Array.from({ length: 40 }, (_, at) => ({
    tank: 'K-1',
    drop: `D-${at}`,
    dropped_at: '2026-07-04T18:30:20Z',
    error_pct: 0,
    ewma_pct: at === 9 ? 3 : 0.5,
    limit_pct: 2.5,
    is_alarm: at === 9,
    run: 1,
  }))
  expect(controlChart.finding(rows, options)).toMatch(/; back within them for 30 drops$/)
  expect(controlChart.finding(rows.slice(0, 20), options)).not.toMatch(/back within/)
})

test('traces of one tank are told apart by run, with the fitted times', () => {
  const trace = (number: number, run: number, evacuation_s: number) =>
    [0, 1, 2].map((t_s) => ({
      trace: number,
      drop: null,
      tank: 'K-1',
      run,
      t_s,
      level_gal: 1000 - 400 * t_s,
      evacuation_s,
    }))
  expect(traceOverlay.finding([...trace(1, 1, 2.4), ...trace(2, 2, 1.8), ...trace(3, 2, 2.0)], options)).toBe(
    'K-1: half were out within 2.4 s in run 1 (1 release), 1.9 s in run 2 (2 releases)',
  )
})

test('colours that mean something are named in the drawing, those that occur only', () => {
  const rows = [{ ...fire('Dry Fork', 900), water_gal: 100, gallons: 1000 }]
  const texts = [...gallonsByFire.draw(rows, { width: 500 }, options).querySelectorAll('text')]
    .map((each) => each.textContent)
    .filter((each) => each?.includes('■'))
  expect(texts).toEqual(['■ retardant', '■ water'])
})

test('intervals give names and counts the room that they need', () => {
  const row = { ...difference('point-protection-of-structures', 0.1, -0.1, 0.3), against_known: 1040 }
  const svg = outcomeDifferences('success', 'effective').draw([row], { width: 460 }, options)
  const texts = [...svg.querySelectorAll('text')].map((each) => each.textContent)
  expect(texts).toContain('n 40/1040')
  expect(texts.find((each) => each?.startsWith('point-'))!.length).toBeGreaterThan(24)
})

test('the due windows tell what is due apart from what is to plan', () => {
  const row = (status: string, item: string) => ({ ...overdue, item, counter: 'days', status })
  const rows = ['overdue', 'in-tolerance', 'due', 'plan', 'ok'].map((status, at) => row(status, `D-${at}`))
  // Another limit of the same task on the same item is not another inspection.
  rows.push({ ...row('plan', 'D-0'), counter: 'openings', governs: false })
  expect(dueWindows.finding(rows as never, options)).toMatch(
    /^1 inspection overdue, 2 due or in tolerance, 1 to plan; next: /,
  )
})

describe('of very many rows a chart draws some, and says so', () => {
  const size = { width: 900, height: 400 }
  const day = (place: number) => new Date(Date.UTC(2026, 0, 1 + place)).toISOString().slice(0, 10)

  test('flights: each aircraft keeps its bar', () => {
    const rows = Array.from({ length: 9000 }, (_, place) => ({
      aircraft: `N${801 + (place % 6)}ZY`,
      flight: `F-${place}`,
      day: '2026-07-04',
      airborne_hours: 1,
      gallons: 1000 + (place % 700),
      flights: 1500,
      low: 1100,
      middle: 1300,
      high: 1500,
    }))
    const drawing = gallonsPerHour.draw(rows, size, options) as unknown as Element
    expect(drawing.querySelectorAll('circle')).toHaveLength(3000)
    expect(gallonsPerHour.caption!(rows, options)).toContain(
      'Dots: 3,000 of 9,000 flights; bar and tick are of all',
    )
    expect(gallonsPerHour.caption!(rows.slice(0, 100), options)).not.toContain('Dots')
  })

  test('reports: the latest days, of the lines that miss most', () => {
    const rows = Array.from({ length: 100 }, (_, place) => place).flatMap((place) =>
      Array.from({ length: 120 }, (_, aircraft) => ({
        aircraft: `N${String(aircraft).padStart(3, '0')}ZY`,
        day: day(place),
        witness: 'crew',
        flights: 1,
        events: aircraft === 119 && place > 90 ? 0 : 2,
        last_arrived_at: null,
      })),
    )
    const drawing = completenessGrid.draw(rows, size, options) as unknown as Element
    expect(drawing.outerHTML).toContain('N119ZY crew')
    expect(drawing.outerHTML).not.toContain('N118ZY crew')
    expect(completenessGrid.caption!(rows, options)).toContain('Drawn: 2,720 of 12,000, the latest days')
    expect(completenessGrid.finding(rows, options)).toContain('9 reports missing')
  })
})

test('reports of two days stand on the days, not on their hours', () => {
  const rows = ['2026-08-03', '2026-08-04'].map((day) => ({
    aircraft: 'N805ZY',
    day,
    witness: 'crew',
    flights: 1,
    events: 2,
    last_arrived_at: null,
  }))
  const drawing = completenessGrid.draw(rows, { width: 1000, height: 400 }, options) as unknown as Element
  expect(drawing.textContent).not.toMatch(/[AP]M/)
  expect(drawing.textContent).toMatch(/Aug/)
})
