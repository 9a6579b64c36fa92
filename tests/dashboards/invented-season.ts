/** An invented season for looking at the pages: plausible rows for every question, the same at every run. Nothing here is computed the way the product computes it. */
export type Cell =
  | string
  | number
  | boolean
  | null
  | string[]
  | { money: string }
  | { time: string }
  | { day: string }
export type FixtureRow = Record<string, Cell>

let seed = 20260704
function random(): number {
  seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0
  return seed / 4294967296
}
const between = (low: number, high: number): number => low + random() * (high - low)
const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)]!
const normal = (): number => Math.sqrt(-2 * Math.log(random() || 1e-9)) * Math.cos(2 * Math.PI * random())
const time = (ms: number): { time: string } => ({ time: `${new Date(ms).toISOString().slice(0, 19)}Z` })
const day = (text: string): { day: string } => ({ day: text })
const money = (cents: number): { money: string } => ({ money: (Math.round(cents) / 100).toFixed(2) })
const dayAt = (ms: number): string => new Date(ms - 6 * 3600e3).toISOString().slice(0, 10)

const fleet = ['N801ZY', 'N802ZY', 'N803ZY', 'N804ZY', 'N805ZY', 'N806ZY']
const tanks = ['K-1', 'K-2', 'K-3', 'K-4', 'K-5', 'K-6']
const bases = [
  { code: 'JUN', name: 'Juniper', latitude: 43.56, longitude: -116.22 },
  { code: 'SAG', name: 'Sagebrush', latitude: 42.48, longitude: -114.49 },
  { code: 'TAM', name: 'Tamarack', latitude: 46.37, longitude: -117.01 },
  { code: 'COT', name: 'Cottonwood', latitude: 45.12, longitude: -113.88 },
]
const fires = [
  'Lost Spur',
  'Cinder Bench',
  'Quartz Draw',
  'Long Tom',
  'Antler Ridge',
  'Dry Fork',
  'Moss Gulch',
  'Willow Flat',
  'Badger Hole',
  'Stone Corral',
  'Sheep Mesa',
].map((name, at) => {
  const base = bases[at % 4]!
  return {
    number: `F-${at + 1}`,
    name,
    base,
    latitude: base.latitude + between(-0.7, 0.7),
    longitude: base.longitude + between(-0.9, 0.9),
    from: Math.floor(between(10, 95)),
    days: Math.floor(between(2, 16)),
    pace: between(0.6, 4),
  }
})

const start = Date.UTC(2026, 5, 1)
export const drops: FixtureRow[] = []
export const loads: FixtureRow[] = []
export const flights: FixtureRow[] = []
for (let date = 0; date < 122; date++) {
  for (const fire of fires) {
    if (date < fire.from || date >= fire.from + fire.days) continue
    const sorties = Math.floor(fire.pace * between(0.5, 2))
    for (let sortie = 0; sortie < sorties; sortie++) {
      const at = Math.floor(random() * fleet.length)
      const off = start + date * 864e5 + between(15, 26) * 3600e3
      const hours = between(0.6, 1.6)
      const flight = `L-${fleet[at]}-${new Date(off).toISOString().replace(/[-:]|\.\d+/g, '')}`.replace(
        'L-',
        'F-',
      )
      const parts = pick([1, 2, 2, 4])
      const volume = 3000 * between(0.93, 1.03)
      const fluid = random() < 0.78 ? 'retardant' : pick(['water', 'water', 'gel', 'foam'])
      loads.push({
        load: flight.replace('F-', 'L-'),
        loaded_at: time(off - 9 * 60e3),
        aircraft: fleet[at]!,
        tank: tanks[at]!,
        base: fire.base.code,
        ticket: `T${1000 + loads.length}`,
        volume_gal: volume,
        fluid,
        witnesses: ['controller', 'ticket'],
        status: random() < 0.9 ? 'corroborated' : 'single',
        operating_day: day(dayAt(off)),
      })
      flights.push({
        flight,
        off_at: time(off),
        on_at: time(off + hours * 3600e3),
        aircraft: fleet[at]!,
        airborne_hours: hours,
        mission: true,
        witnesses: ['crew', 'tracker'],
        status: 'corroborated',
        operating_day: day(dayAt(off)),
      })
      for (let part = 0; part < parts; part++) {
        const dropped = off + hours * 3600e3 * (0.35 + 0.06 * part)
        const lost = random()
        drops.push({
          drop: `D-${fleet[at]}-${new Date(dropped).toISOString().replace(/[-:]|\.\d+/g, '')}`,
          dropped_at: time(dropped),
          aircraft: fleet[at]!,
          tank: tanks[at]!,
          base: fire.base.code,
          fire: lost < 0.03 ? null : fire.number,
          fire_basis: lost < 0.03 ? 'unattributed' : lost < 0.2 ? 'nearest' : 'stated',
          flight,
          volume_gal: (volume / parts) * between(0.96, 1.04),
          commanded_gal: 3000 / parts,
          coverage_level: pick([2, 4, 4, 6]),
          fraction: 1 / parts,
          fluid,
          purpose: random() < 0.02 ? pick(['jettison', 'training', 'emergency']) : 'fire',
          openings: 1,
          latitude: lost > 0.95 ? null : fire.latitude + normal() * 0.05,
          longitude: lost > 0.95 ? null : fire.longitude + normal() * 0.06,
          witnesses: random() < 0.8 ? ['controller', 'crew'] : ['crew'],
          status: random() < 0.8 ? 'corroborated' : 'single',
          operating_day: day(dayAt(off)),
        })
      }
    }
  }
}
for (let at = 0; at < 23; at++) {
  const off = start + between(5, 115) * 864e5
  flights.push({
    flight: `F-${pick(fleet)}-ferry-${at}`,
    off_at: time(off),
    on_at: time(off + 3e6),
    aircraft: pick(fleet),
    airborne_hours: between(0.4, 1.2),
    mission: false,
    witnesses: ['crew'],
    status: 'single',
    operating_day: day(dayAt(off)),
  })
}

const num = (cell: Cell | undefined): number => (typeof cell === 'number' ? cell : 0)
const dayOf = (cell: Cell | undefined): string =>
  cell && typeof cell === 'object' && 'day' in cell ? cell.day : ''
const timeOf = (cell: Cell | undefined): string =>
  cell && typeof cell === 'object' && 'time' in cell ? cell.time : ''

export interface Wanted {
  [param: string]: string | undefined
}
function kept(rows: readonly FixtureRow[], wanted: Wanted): FixtureRow[] {
  return rows.filter(
    (row) =>
      ['aircraft', 'tank', 'base', 'fire', 'fluid'].every(
        (name) =>
          !wanted[name] ||
          !(name in row) ||
          row[name] === wanted[name] ||
          (wanted[name] === 'unattributed' && row[name] === null),
      ) &&
      (!wanted.from || dayOf(row.operating_day) >= wanted.from) &&
      (!wanted.to || dayOf(row.operating_day) <= wanted.to),
  )
}
const sum = (rows: readonly FixtureRow[], name: string): number =>
  rows.reduce((total, row) => total + num(row[name]), 0)
const hoursOf = (list: readonly FixtureRow[], wanted: Wanted): number => {
  const names = new Set(list.map((row) => row.flight))
  return sum(
    kept(flights, { ...wanted, fire: undefined, base: undefined }).filter((row) => names.has(row.flight!)),
    'airborne_hours',
  )
}

type Answer = (wanted: Wanted) => FixtureRow[]
const fireDrops = (wanted: Wanted): FixtureRow[] =>
  kept(drops, wanted).filter((row) => row.purpose === 'fire')
const due = (): FixtureRow[] =>
  tanks.flatMap((tank, at) => [
    {
      task: 'Door seal check',
      item: `${tank}-seal-1`,
      counter: 'door-cycles',
      limit_at: 600,
      total: 480 + at * 23,
      remaining: 120 - at * 23,
      due_on_p10: day(`2026-10-0${1 + at}`),
      due_on_p50: day(`2026-10-1${at}`),
      due_on_p90: day(`2026-11-0${1 + at}`),
      status: at === 5 ? 'overdue' : at === 4 ? 'due' : at > 1 ? 'plan' : 'ok',
      governs: true,
      since_last: 180 + at,
      counted_through: day('2026-09-28'),
    },
    {
      task: 'Corrosion wash',
      item: tank,
      counter: 'retardant-openings',
      limit_at: 200,
      total: 120 + at * 11,
      remaining: 80 - at * 11,
      due_on_p10: day(`2026-10-1${at}`),
      due_on_p50: day(`2026-10-2${at}`),
      due_on_p90: day(`2027-05-1${at}`),
      status: at > 3 ? 'plan' : 'ok',
      governs: true,
      since_last: 120,
      counted_through: day('2026-09-28'),
    },
    {
      task: 'Accumulator overhaul',
      item: `${tank}-acc`,
      counter: 'days',
      limit_at: 730,
      total: at === 2 ? null : 500,
      remaining: at === 2 ? null : 230,
      due_on_p10: at === 2 ? null : day('2027-05-18'),
      due_on_p50: at === 2 ? null : day('2027-05-18'),
      due_on_p90: at === 2 ? null : day('2027-05-18'),
      status: at === 2 ? 'no-baseline' : 'ok',
      governs: true,
      since_last: 500,
      counted_through: day('2026-09-28'),
    },
  ])

export const answers: Record<string, Answer> = {
  drops: (wanted) => kept(drops, wanted),
  loads: (wanted) => kept(loads, wanted),
  flights: (wanted) => kept(flights, wanted),
  'gallons-by-fire': (wanted) => [
    ...fires
      .map((fire) => {
        const own = fireDrops(wanted).filter((row) => row.fire === fire.number)
        const hours = hoursOf(own, wanted)
        const of = (fluid: string): number =>
          sum(
            own.filter((row) => row.fluid === fluid),
            'volume_gal',
          )
        const times = own.map((row) => timeOf(row.dropped_at)).sort()
        return {
          fire: fire.number,
          name: fire.name,
          drops: own.length,
          gallons: sum(own, 'volume_gal'),
          water_gal: of('water'),
          retardant_gal: of('retardant'),
          gel_gal: of('gel'),
          foam_gal: of('foam'),
          flight_hours: hours,
          gallons_per_flight_hour: hours ? sum(own, 'volume_gal') / hours : null,
          first_at: times[0] ? { time: times[0] } : null,
          last_at: times.length ? { time: times.at(-1)! } : null,
        }
      })
      .filter((row) => row.drops > 0),
    {
      fire: 'unattributed',
      name: null,
      drops: fireDrops(wanted).filter((row) => !row.fire).length,
      gallons: sum(
        fireDrops(wanted).filter((row) => !row.fire),
        'volume_gal',
      ),
      water_gal: 0,
      retardant_gal: sum(
        fireDrops(wanted).filter((row) => !row.fire),
        'volume_gal',
      ),
      gel_gal: 0,
      foam_gal: 0,
      flight_hours: 3.2,
      gallons_per_flight_hour: 1200,
      first_at: null,
      last_at: null,
    },
  ],
  'gallons-by-base': (wanted) =>
    [...bases, { code: 'unknown', name: null }].map((base) => {
      const own = fireDrops(wanted).filter((row) => row.base === base.code)
      const in_ = kept(loads, wanted).filter((row) => row.base === base.code)
      const hours = hoursOf(own, wanted)
      return {
        base: base.code,
        name: base.name,
        loads: in_.length,
        loaded_gal: sum(in_, 'volume_gal'),
        drops: own.length,
        gallons: sum(own, 'volume_gal'),
        flight_hours: hours,
        gallons_per_flight_hour: hours ? sum(own, 'volume_gal') / hours : null,
        median_turnaround_min: in_.length ? 60 + (base.code.charCodeAt(0) % 30) : null,
      }
    }),
  'gallons-by-aircraft': (wanted) =>
    fleet
      .map((aircraft, at) => {
        const own = fireDrops(wanted).filter((row) => row.aircraft === aircraft)
        const all = kept(flights, wanted).filter((row) => row.aircraft === aircraft)
        const airborne = sum(all, 'airborne_hours')
        const mission = sum(
          all.filter((row) => row.mission),
          'airborne_hours',
        )
        return {
          aircraft,
          call_number: `T-${81 + at}`,
          drops: own.length,
          gallons: sum(own, 'volume_gal'),
          airborne_hours: airborne,
          mission_hours: mission,
          gallons_per_airborne_hour: airborne ? sum(own, 'volume_gal') / airborne : null,
          gallons_per_mission_hour: mission ? sum(own, 'volume_gal') / mission : null,
        }
      })
      .filter((row) => row.airborne_hours > 0),
  'gallons-by-day': (wanted) => {
    const days = [...new Set(kept(flights, wanted).map((row) => dayOf(row.operating_day)))].sort()
    return days.map((one) => {
      const own = fireDrops(wanted).filter((row) => dayOf(row.operating_day) === one)
      return {
        day: day(one),
        drops: own.length,
        gallons: sum(own, 'volume_gal'),
        airborne_hours: sum(
          kept(flights, wanted).filter((row) => dayOf(row.operating_day) === one),
          'airborne_hours',
        ),
      }
    })
  },
  'volume-by-purpose': (wanted) =>
    ['fire', 'jettison', 'emergency', 'training', 'ground-test'].map((purpose) => {
      const own = kept(drops, wanted).filter((row) => row.purpose === purpose)
      return { purpose, drops: own.length, gallons: sum(own, 'volume_gal') }
    }),
  'hours-by-fire': (wanted) => [
    ...answers['gallons-by-fire']!(wanted).map((row) => ({
      fire: row.fire!,
      flight_hours: row.flight_hours!,
    })),
    {
      fire: 'no drop',
      flight_hours: sum(
        kept(flights, wanted).filter((row) => !row.mission),
        'airborne_hours',
      ),
    },
  ],
  'tank-cycles': () =>
    tanks.flatMap((tank, at) => [
      {
        item: tank,
        kind: 'tank',
        tank,
        position: null,
        counter: 'openings',
        baseline: 1200 + at,
        recorded: 90,
        counted: 112,
        inferred: at,
        total: 1312 + 2 * at,
      },
      {
        item: tank,
        kind: 'tank',
        tank,
        position: null,
        counter: 'retardant-openings',
        baseline: 0,
        recorded: 70,
        counted: 88,
        inferred: at,
        total: 88 + at,
      },
      {
        item: `${tank}-seal-1`,
        kind: 'seal',
        tank,
        position: 'door-1',
        counter: 'door-cycles',
        baseline: 300,
        recorded: 90,
        counted: 112,
        inferred: at,
        total: 412 + at,
      },
      {
        item: `${tank}-seal-2`,
        kind: 'seal',
        tank,
        position: 'door-2',
        counter: 'door-cycles',
        baseline: 310,
        recorded: 88,
        counted: 110,
        inferred: at,
        total: 420 + at,
      },
    ]),
  tanks: () => tanks.map((tank) => ({ tank, capacity_gal: 3000, doors: 2, flow: 'constant' })),
  'inspections-due': due,
  'due-backtest': () =>
    [30, 60, 90].map((horizon) => ({
      horizon_days: horizon,
      forecasts: 140 - horizon,
      inside_80: Math.round((140 - horizon) * 0.81),
      coverage: 0.81,
    })),
  'burn-down': () =>
    [0, 2, 4].flatMap((at) =>
      Array.from({ length: 60 }, (_, index) => ({
        item: `${tanks[at]}-seal-1`,
        task: 'Door seal check',
        counter: 'door-cycles',
        day: day(new Date(start + (index * 2 + 1) * 864e5).toISOString().slice(0, 10)),
        total: 300 + Math.min(at * 23 + 180, Math.floor((index / 60) ** 1.4 * (180 + at * 23))),
        limit_at: 600,
        due_on_p10: day(`2026-10-0${4 + at}`),
        due_on_p50: day(`2026-10-1${at}`),
        due_on_p90: day(`2026-11-0${1 + at}`),
      })),
    ),
  'tank-balance': (wanted) =>
    kept(loads, wanted)
      .slice(0, 60)
      .map((row) => ({
        tank: row.tank!,
        opened_at: row.loaded_at!,
        loaded_gal: row.volume_gal!,
        dropped_gal: num(row.volume_gal) * 0.99,
        offloaded_gal: 0,
        residual_gal: normal() * 40,
        finding: random() < 0.03 ? 'unrecorded-release' : null,
      })),
  'meter-bias': () =>
    bases.map((base, at) => ({
      base: base.code,
      pairs: 40 + at * 13,
      bias_pct: [0.4, 3.1, -0.6, -2.4][at]!,
      low_pct: [-0.5, 2.2, -1.5, -3.4][at]!,
      high_pct: [1.3, 4, 0.3, -1.4][at]!,
    })),
  turnarounds: () =>
    bases.map((base, at) => ({
      base: base.code,
      turnarounds: 60 - at * 7,
      median_min: 62 + at * 9,
      p90_min: 95 + at * 12,
      fill_min: 9 + at * 2,
      hold_min: 4 + at,
      out_min: 18 + at * 3,
      scene_min: 11,
      back_min: 17 + at * 3,
    })),
  'invoice-findings': () =>
    Array.from({ length: 44 }, (_, at) => {
      const finding =
        at % 11 === 3
          ? 'rate'
          : at % 13 === 5
            ? 'quantity-over'
            : at % 17 === 8
              ? 'duplicate'
              : at % 19 === 9
                ? 'no-evidence'
                : at === 20
                  ? 'arithmetic'
                  : at > 41
                    ? 'unbilled'
                    : 'ok'
      const billed = 975000 + at * 1250
      const supported =
        finding === 'ok'
          ? billed
          : finding === 'rate'
            ? billed - 52000
            : finding === 'quantity-over'
              ? billed - 31200
              : finding === 'arithmetic'
                ? billed - 9000
                : finding === 'unbilled'
                  ? 650000
                  : 0
      const isUnbilled = finding === 'unbilled'
      return {
        invoice: isUnbilled ? null : `INV-${7 + (at % 3)}`,
        line: isUnbilled ? null : at + 1,
        contract: 'C-9',
        currency: 'USD',
        message: 'The contract’s price of that day is 3.25.',
        note_state: null,
        item: at % 2 ? 'gallon-loaded' : 'flight-hour',
        aircraft: fleet[at % 6]!,
        finding,
        billed_quantity: isUnbilled ? null : at % 2 ? 3000 : 1.9,
        supported_quantity: finding === 'duplicate' ? 0 : at % 2 ? 2950 : 1.8,
        billed_amount: isUnbilled ? null : money(billed),
        supported_amount: money(supported),
        difference_amount: money((isUnbilled ? 0 : billed) - supported),
      }
    }),
  'invoice-totals': () => [
    {
      contract: 'C-9',
      currency: 'USD',
      invoices: 3,
      lines: 42,
      billed: money(43053750),
      supported: money(38734400),
      difference: money(4319350),
      in_dispute: money(4319350),
      under_billed: money(0),
      unbilled: money(130000),
    },
  ],
  'invoice-summary': () =>
    [7, 8, 9].map((at) => ({
      invoice: `INV-${at}`,
      contract: 'C-9',
      billed: money(14_000_000 + at * 1000),
      supported: money(12_800_000),
      difference: money(1_200_000 + at * 1000),
    })),
  'setting-accuracy': () =>
    tanks.flatMap((tank, at) =>
      [4, 6].map((level) => ({
        tank,
        coverage_level: level,
        fraction: 0.5,
        drops: 30 + at,
        bias_pct: at === 3 ? 6.4 : normal() * 1.2,
        low_pct: at === 3 ? 4.8 : -2.5,
        high_pct: at === 3 ? 8 : 2.6,
      })),
    ),
  'drift-alarms': () => [
    {
      tank: 'K-4',
      from_at: time(Date.UTC(2026, 7, 9, 20)),
      from_drop: String(drops[120]?.drop),
      ewma_pct: 4.2,
      limit_pct: 2.1,
    },
  ],
  'control-chart': () =>
    ['K-1', 'K-4'].flatMap((tank) => {
      let mean = 0
      return drops
        .filter((row) => row.tank === tank)
        .slice(0, 70)
        .map((row, at) => {
          const error = normal() * 3 + (tank === 'K-4' && at > 35 ? (at - 35) * 0.3 : 0)
          mean = 0.2 * error + 0.8 * mean
          return {
            tank,
            drop: row.drop!,
            dropped_at: row.dropped_at!,
            error_pct: error,
            ewma_pct: mean,
            limit_pct: 2.8,
            is_alarm: Math.abs(mean) > 2.8,
            run: 1,
          }
        })
    }),
  'trace-samples': () =>
    drops.slice(10, 24).flatMap((row, at) =>
      Array.from({ length: 40 }, (_, step) => ({
        trace: at + 1,
        drop: at === 3 ? null : row.drop!,
        tank: at % 2 ? 'K-1' : 'K-4',
        run: 1,
        t_s: (step - 3) * 0.1,
        level_gal: Math.max(0, 3000 - Math.max(0, step - 3) * (at % 2 ? 118 : 96)),
      })),
    ),
  traces: () =>
    drops.slice(10, 24).map((row, at) => ({
      drop: row.drop!,
      dropped_at: row.dropped_at!,
      tank: at % 2 ? 'K-1' : 'K-4',
      fraction: 1,
      evacuation_s: 2.6 + 0.05 * at,
      mean_flow_gal_s: 1100,
      peak_flow_gal_s: 1350,
      constancy_pct: 88,
      gallons_per_ft: 6.2,
      coverage_level: 6,
      coverage_laid: 5.6,
    })),
  'outcome-rates': (wanted) =>
    (wanted.by === 'class'
      ? ['large', 'single-engine']
      : wanted.by === 'fuel'
        ? ['grass', 'brush', 'timber', 'slash']
        : wanted.by === 'coverage'
          ? ['2', '4', '6']
          : ['halt', 'delay', 'point protection', 'support line']
    ).map((group, at) => {
      const yes = 30 - at * 6
      const no = 8 + at * 2
      const rate = yes / (yes + no)
      return {
        group_name: group,
        assessed: yes + no + 9,
        met_fire: yes + no + 4,
        interaction_rate: 0.8,
        interaction_low: 0.7,
        interaction_high: 0.88,
        effective: yes,
        not_effective: no,
        success_rate: rate,
        success_low: rate - 0.13,
        success_high: Math.min(1, rate + 0.11),
      }
    }),
  'coverage-for-fuel': () =>
    [
      ['grass', '1-2', 2, 14],
      ['brush', '4-6', 4, 61],
      ['brush', '4-6', 2, 12],
      ['timber', '4', 4, 48],
    ].map(([fuel, recommended, level, count]) => ({
      fuel: fuel!,
      recommended: recommended!,
      coverage_level: level!,
      drops: count!,
      gallons: Number(count) * 1400,
    })),
  findings: () => [
    {
      finding_id: 'f1',
      finding: 'unrecorded-release',
      severity: 'error',
      subject: 'K-3',
      happened_at: time(Date.UTC(2026, 7, 2, 21)),
      message:
        'The gauge of K-3 showed 2,310 gal less before the load than the records leave. One opening is counted.',
      evidence: [`load:${loads[12]?.load}`, 'tank:K-3'],
      state: 'open',
    },
    {
      finding_id: 'f2',
      finding: 'clock-offset',
      severity: 'warning',
      subject: 'crew N802ZY',
      happened_at: time(Date.UTC(2026, 6, 14, 6)),
      message: 'The crew log of N802ZY reads 60 min late on 14 July.',
      evidence: ['file:3:17'],
      state: 'open',
    },
    {
      finding_id: 'f3',
      finding: 'outside-daylight',
      severity: 'warning',
      subject: String(drops[3]?.drop),
      happened_at: drops[3]!.dropped_at!,
      message: 'Dropped 41 min after sunset.',
      evidence: [`drop:${drops[3]?.drop}`],
      state: 'accepted',
    },
    {
      finding_id: 'f4',
      finding: 'unknown-fire',
      severity: 'note',
      subject: 'Losst Spur',
      happened_at: time(Date.UTC(2026, 6, 20, 22)),
      message: '“Losst Spur” names no fire active that day. Did they mean Lost Spur?',
      evidence: [`drop:${drops[9]?.drop}`],
      state: 'open',
    },
  ],
  quarantine: () => [
    {
      file: 'crew/n803.csv',
      line: 41,
      profile: 'crew-sheet',
      field: 'dropped_at',
      text: '31/02/2026 1430',
      reason: '31 February does not exist',
    },
    {
      file: 'tickets/jun.xlsx',
      line: 7,
      profile: 'base-ticket',
      field: 'aircraft',
      text: 'T-98',
      reason: 'no aircraft goes by T-98; nearest: T-86',
    },
  ],
  arrivals: () =>
    [
      'registry/aircraft.csv',
      'controller/k1-july.jsonl',
      'crew/n803.csv',
      'tickets/jun.xlsx',
      'flights/season.csv',
    ].map((path, at) => ({
      path,
      sha256: 'ab12'.repeat(16),
      profile: ['canonical', 'controller-download', 'crew-sheet', 'base-ticket', 'canonical'][at]!,
      arrived_at: time(Date.UTC(2026, 8, 28, 3, at)),
      read: 400 + at * 31,
      accepted: 396 + at * 31 - (at === 2 ? 9 : 0),
      duplicate: 3 + (at === 2 ? 8 : 0),
      superseded: 1,
      quarantined: at === 2 ? 1 : 0,
    })),
  'clock-offsets': () =>
    [
      ['crew', 'N802ZY', '2026-07-14', 60, 6],
      ['crew', 'N805ZY', '2026-08-02', -4, 9],
      ['controller', 'N801ZY', '2026-08-02', 0, 9],
    ].map(([witness, aircraft, date, offset, pairs]) => ({
      witness: witness!,
      aircraft: aircraft!,
      day: day(String(date)),
      offset_min: offset!,
      pairs: pairs!,
    })),
  completeness: () =>
    fleet.flatMap((aircraft) =>
      Array.from({ length: 30 }, (_, at) =>
        ['controller', 'crew'].map((witness) => ({
          aircraft,
          day: day(new Date(start + (at * 3 + 20) * 864e5).toISOString().slice(0, 10)),
          witness,
          flights: 3,
          events: random() < 0.03 ? 0 : 6,
          last_arrived_at: time(start + (at * 3 + 21) * 864e5),
        })),
      ).flat(),
    ),
  // Chosen by the day they were made.
  amendments: ({ to }) =>
    to && to < '2026-09-29'
      ? []
      : [
          {
            amendment_no: 1,
            made_at: time(Date.UTC(2026, 8, 29, 15)),
            made_by: 'R. Planner',
            action: 'exclude',
            reason: 'Bench test',
            payload: JSON.stringify({ kind: 'drop', obs: [3 * 2 ** 32 + 41 * 16] }),
            undone_by: null,
          },
        ],
  'gallons-by-fire-day': (wanted) => {
    const groups = new Map<string, FixtureRow[]>()
    for (const row of fireDrops(wanted)) {
      const key = `${row.fire ?? 'unattributed'} ${dayOf(row.operating_day)}`
      groups.set(key, [...(groups.get(key) ?? []), row])
    }
    return [...groups].map(([key, own]) => {
      const [fire, date] = key.split(' ')
      return {
        fire: fire!,
        name: fires.find((one) => one.number === fire)?.name ?? null,
        day: day(date!),
        drops: own.length,
        gallons: sum(own, 'volume_gal'),
      }
    })
  },
  'fire-basis': (wanted) =>
    ['stated', 'nearest', 'unattributed'].map((basis) => {
      const own = fireDrops(wanted).filter((row) => row.fire_basis === basis)
      return { basis, drops: own.length, gallons: sum(own, 'volume_gal') }
    }),
  'loads-by-hour': (wanted) =>
    bases
      .flatMap((base) =>
        Array.from({ length: 24 }, (_, hour) => {
          const own = kept(loads, wanted).filter(
            (row) =>
              row.base === base.code && (new Date(timeOf(row.loaded_at)).getUTCHours() + 18) % 24 === hour,
          )
          return {
            base: base.code,
            hour,
            loads: own.length,
            loaded_gal: sum(own, 'volume_gal'),
            zone: 'America/Boise',
          }
        }),
      )
      .filter((row) => row.loads > 0),
  'flight-gallons': (wanted) => {
    const rows = kept(flights, { ...wanted, base: undefined, fire: undefined })
      .map((flight) => {
        const own = fireDrops(wanted).filter((row) => row.flight === flight.flight)
        return {
          flight: flight.flight!,
          aircraft: flight.aircraft!,
          day: flight.operating_day!,
          airborne_hours: flight.airborne_hours!,
          gallons: sum(own, 'volume_gal'),
        }
      })
      .filter((row) => row.gallons > 0)
    return rows.map((row) => {
      const rates = rows
        .filter((one) => one.aircraft === row.aircraft)
        .map((one) => one.gallons / num(one.airborne_hours))
        .sort((a, b) => a - b)
      const at = (share: number): number => rates[Math.floor(share * (rates.length - 1))]!
      return { ...row, flights: rates.length, low: at(0.25), middle: at(0.5), high: at(0.75) }
    })
  },
  'drop-places': (wanted) =>
    fireDrops(wanted).map((row) => ({
      latitude: row.latitude!,
      longitude: row.longitude!,
      fluid: row.fluid!,
      drops: 1,
      gallons: row.volume_gal!,
      drop: row.drop!,
      aircraft: row.aircraft!,
      dropped_at: row.dropped_at!,
      fire: row.fire!,
    })),
  'flights-without-drop': (wanted) =>
    kept(flights, wanted)
      .filter((row) => !row.mission)
      .map((row) => ({ ...row, from_base: 'JUN', to_base: 'SAG' })),
  'largest-residuals': (wanted) =>
    kept(loads, wanted)
      .slice(0, 40)
      .map((row) => ({
        load: row.load!,
        tank: row.tank!,
        opened_at: row.loaded_at!,
        loaded_gal: row.volume_gal!,
        dropped_gal: num(row.volume_gal) * 0.99,
        offloaded_gal: 0,
        residual_gal: normal() * 40,
        finding: random() < 0.03 ? 'unrecorded-release' : null,
      })),
  fires: () =>
    fires.map((fire) => ({
      fire: fire.number,
      name: fire.name,
      latitude: fire.latitude,
      longitude: fire.longitude,
    })),
  bases: () =>
    bases.map((base) => ({
      base: base.code,
      name: base.name,
      latitude: base.latitude,
      longitude: base.longitude,
    })),
}

const evidenceLine = '07/04/2026,1230,T-81,Lost Spur,1000,1/2,4'
/** Invented evidence with every part that the panel shows. */
export function evidenceOf(kind: string, id: string): object {
  const row = drops.find((drop) => drop.drop === id)
  const plain = Object.fromEntries(
    Object.entries(row ?? { [kind]: id }).map(([name, value]) => [
      name,
      value && typeof value === 'object' && 'time' in value
        ? new Date(value.time).toISOString()
        : value && typeof value === 'object' && 'day' in value
          ? value.day
          : value,
    ]),
  )
  const observation = (obs_no: number, witness: string, line: number, extra: object = {}): object => ({
    obs: `obs:${obs_no}`,
    obs_no,
    kind: 'drop',
    witness,
    source: `${witness}:sheet`,
    profile: witness === 'crew' ? 'crew-sheet' : 'controller-download',
    role: 'event',
    score: 0.97,
    decided_by: 'alignment',
    offset_min: witness === 'crew' ? 2 : 0,
    raw_time: '2026-07-04T18:32:00Z',
    common_time: '2026-07-04T18:30:00Z',
    fate: 'accepted',
    values: {
      dropped_at: '2026-07-04T18:32:00Z',
      volume_gal: witness === 'crew' ? 1000 : 980,
      fluid: 'retardant',
    },
    file: {
      file_no: 3,
      path: 'crew/n803.csv',
      sha256: 'ab12'.repeat(16),
      arrived_at: '2026-09-28T03:02:00Z',
    },
    line,
    cells: [
      ['Date', '07/04/2026'],
      ['Gals', '1000'],
    ],
    raw_line: evidenceLine,
    history: [],
    ...extra,
  })
  return {
    kind,
    id,
    title: row ? `Drop ${id}` : `${kind} ${id}`,
    record: plain,
    claims: row
      ? [
          {
            field: 'volume_gal',
            taken: { value: 980, witness: 'controller', obs: 'obs:1' },
            beaten: [{ value: 1000, witness: 'crew', obs: 'obs:2' }],
            rule: 'controller, tracker, crew, dispatch',
          },
          {
            field: 'fire',
            taken: { value: 'Lost Spur', witness: 'crew', obs: 'obs:2' },
            beaten: [],
            rule: 'crew, dispatch, controller',
          },
        ]
      : [],
    observations: row
      ? [
          observation(1, 'controller', 12),
          observation(2, 'crew', 41, {
            history: [
              observation(9, 'crew', 40, {
                fate: 'superseded',
                raw_line: evidenceLine.replace('1000', '1050'),
              }),
            ],
          }),
        ]
      : [],
    amendments: row
      ? [
          {
            amendment_no: 1,
            action: 'set-field',
            made_by: 'R. Planner',
            made_at: '2026-09-29T15:00:00Z',
            reason: 'Ticket misread',
            payload: JSON.stringify({ obs_no: 1, kind: 'drop', field: 'volume_gal', value: '1050' }),
            undone: false,
          },
        ]
      : [],
    related: drops.slice(0, 6).map((drop) => ({ kind: 'drop', id: drop.drop, label: drop.drop })),
    findings: row
      ? [
          {
            finding_id: 'f3',
            finding: 'outside-daylight',
            severity: 'warning',
            message: 'Dropped 41 min after sunset.',
          },
        ]
      : [],
  }
}
