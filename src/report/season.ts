import { biasIntervals } from '../../dashboards/charts/bias-intervals.ts'
import { cumulativeByFire, type FireDayRow } from '../../dashboards/charts/cumulative-by-fire.ts'
import { type FireRow, gallonsByFire } from '../../dashboards/charts/gallons-by-fire.ts'
import { type OutcomeRow, outcomeIntervals } from '../../dashboards/charts/outcome-intervals.ts'
import { type DayRow, seasonCalendar } from '../../dashboards/charts/season-calendar.ts'
import { type TurnaroundRow, turnaroundParts } from '../../dashboards/charts/turnaround-parts.ts'
import { plural } from '../../dashboards/charts/words.ts'
import { figure, quantity } from '../../dashboards/units.ts'
import type { ResultRow } from '../catalogue/index.ts'
import { type Answer, type Asking, sum, tableOf } from './asking.ts'
import { type Block, type ReportContent, type Section, text } from './block.ts'
import { chartOf } from './chart.ts'
import { definitions } from './definitions.ts'
import { quality } from './quality.ts'

/** What a manager hands in at the end of a season. */
export async function seasonReport(asking: Asking, subtitle: string): Promise<ReportContent> {
  const { summary, section } = await overview(asking)
  const sections = [
    section,
    await fires(asking),
    await bases(asking),
    await aircraft(asking),
    await effectiveness(asking),
    await quality(asking),
    definitions(
      'Delivered',
      'Canonical record',
      'Fire of a drop',
      'Base of a drop',
      'Flight hours of a fire or base',
      'Gallons per hour',
      'Turnaround',
      'Operating day',
      'Interaction and success',
      'Row fates',
    ),
  ]
  return {
    title: 'Season report',
    subtitle,
    summary,
    cautions: [],
    sections,
    questions: [...asking.questions.values()],
  }
}

async function overview(asking: Asking): Promise<{ summary: string; section: Section }> {
  const rowsOf = async (name: string): Promise<ResultRow[]> => (await asking.ask(name))?.rows ?? []
  const [perFire, perAircraft, purposes, drops] = [
    await rowsOf('gallons-by-fire'),
    await rowsOf('gallons-by-aircraft'),
    await rowsOf('volume-by-purpose'),
    await rowsOf('drops'),
  ]
  const delivered = sum(perFire, 'gallons')
  const count = sum(perFire, 'drops') ?? 0
  const served = perFire.filter((row) => row.fire !== 'unattributed' && Number(row.drops) > 0).length
  const hours = sum(perAircraft, 'airborne_hours')
  const mission = sum(perAircraft, 'mission_hours')
  const flown = sum(perAircraft, 'gallons')
  const other = sum(
    purposes.filter((row) => row.purpose !== 'fire'),
    'gallons',
  )
  const both = drops.filter((row) => row.status === 'corroborated').length
  const shown = (value: number | null): string => figure(value, 'count', 'us')
  const rate = (over: number | null): string =>
    quantity(over ? (flown ?? 0) / over : null, 'volume-rate', 'us')
  const summary =
    count === 0
      ? 'No drop on a fire is on record for this selection.'
      : `${quantity(delivered, 'volume', 'us')} were delivered to ${plural(served, 'fire')} in ${plural(count, 'drop')}, in ${quantity(hours, 'hours', 'us')} airborne.`
  return {
    summary,
    section: {
      title: 'Summary',
      blocks: [
        {
          is: 'figures',
          figures: [
            {
              label: 'Delivered to fires',
              value: quantity(delivered, 'volume', 'us'),
              note: `${shown(count)} drops`,
            },
            { label: 'Fires served', value: shown(served), note: unattributed(perFire) },
            {
              label: 'Airborne',
              value: quantity(hours, 'hours', 'us'),
              note: `${quantity(mission, 'hours', 'us')} on mission flights`,
            },
            { label: 'Per airborne hour', value: rate(hours), note: `${rate(mission)} per mission hour` },
            {
              label: 'Released otherwise',
              value: quantity(other ?? 0, 'volume', 'us'),
              note: 'jettison, emergency, training, ground test',
            },
            {
              label: 'Corroborated drops',
              value: drops.length > 0 ? `${Math.round((100 * both) / drops.length)} %` : '–',
              note: `${shown(both)} of ${shown(drops.length)} seen by two witnesses`,
            },
          ],
        },
        ...(await asking.blocks(
          'gallons-by-day',
          (answer) => [
            chartOf(seasonCalendar, answer.rows as unknown as DayRow[]),
            tableOf(answer, 'Gallons per day', ['day', 'drops', 'gallons', 'airborne_hours'], {
              isOffPaper: true,
            }),
          ],
          { nothing: 'No day with drops or flights.' },
        )),
        ...(await asking.blocks(
          'volume-by-purpose',
          (answer) => [
            tableOf(answer, 'What left the tanks, by purpose', ['purpose', 'drops', 'gallons'], {
              total: {
                purpose: 'all',
                drops: sum(answer.rows, 'drops'),
                gallons: sum(answer.rows, 'gallons'),
              },
            }),
            text(agreement(delivered, answer.rows)),
          ],
          { nothing: 'Nothing left a tank.' },
        )),
      ],
    },
  }
}

function unattributed(rows: readonly ResultRow[]): string {
  const drops = Number(rows.find((row) => row.fire === 'unattributed')?.drops ?? 0)
  return drops === 0 ? 'every drop has its fire' : `${plural(drops, 'drop')} without a fire`
}

/** The same volume by two ways. */
function agreement(delivered: number | null, purposes: readonly ResultRow[]): string {
  const fire = Number(purposes.find((row) => row.purpose === 'fire')?.gallons ?? 0)
  const isSame = Math.abs((delivered ?? 0) - fire) <= 1e-9 * Math.max(1, fire)
  return isSame
    ? 'The sum over fires, with the unattributed, equals the volume of fire drops.'
    : `The sum over fires (${quantity(delivered, 'volume', 'us', 3)}) differs from the volume of fire drops (${quantity(fire, 'volume', 'us', 3)}): report this, it should not happen.`
}

async function fires(asking: Asking): Promise<Section> {
  const blocks = await asking.blocks('gallons-by-fire', async (answer) => [
    chartOf(gallonsByFire, answer.rows as unknown as FireRow[]),
    ...(await cumulative(asking, answer)),
    tableOf(
      answer,
      'Gallons per fire',
      [
        'fire',
        'name',
        'drops',
        'gallons',
        'retardant_gal',
        'water_gal',
        'gel_gal',
        'foam_gal',
        'flight_hours',
        'gallons_per_flight_hour',
      ],
      {
        total: totals(
          answer,
          ['drops', 'gallons', 'retardant_gal', 'water_gal', 'gel_gal', 'foam_gal', 'flight_hours'],
          'fire',
        ),
      },
    ),
  ])
  const hours = await asking.blocks('hours-by-fire', (answer) => {
    const idle = answer.rows.find((row) => row.fire === 'no drop')
    const all = sum(answer.rows, 'flight_hours')
    return [
      text(
        `With ${quantity(Number(idle?.flight_hours ?? 0), 'hours', 'us')} of flights that dropped on no fire, the hours add up to all ${quantity(all, 'hours', 'us')} airborne.`,
      ),
    ]
  })
  return { title: 'Fires', blocks: [...blocks, ...hours] }
}

async function cumulative(asking: Asking, fires: Answer): Promise<Block[]> {
  const names = new Map(fires.rows.map((row) => [row.fire, row.name as string | null]))
  const own = await asking.ask('gallons-by-fire-day')
  if (own !== null && own.rows.length > 0) {
    const rows = own.rows.map((row) => ({ ...row, name: row.name ?? names.get(row.fire ?? null) ?? null }))
    return [chartOf(cumulativeByFire, rows as unknown as FireDayRow[])]
  }
  const drops = await asking.ask('drops')
  const days = new Map<string, FireDayRow>()
  for (const row of drops?.rows ?? []) {
    if (row.purpose !== 'fire') continue
    const fire = (row.fire as string | null) ?? 'unattributed'
    const day = (row.operating_day as string | undefined) ?? String(row.dropped_at).slice(0, 10)
    const sumOfDay = days.get(`${fire}\n${day}`) ?? { fire, name: names.get(fire) ?? null, day, gallons: 0 }
    sumOfDay.gallons = (sumOfDay.gallons ?? 0) + Number(row.volume_gal ?? 0)
    days.set(`${fire}\n${day}`, sumOfDay)
  }
  return days.size > 0 ? [chartOf(cumulativeByFire, [...days.values()])] : []
}

async function bases(asking: Asking): Promise<Section> {
  return {
    title: 'Bases',
    blocks: [
      ...(await asking.blocks('gallons-by-base', (answer) => [
        tableOf(
          answer,
          'Gallons per base',
          [
            'base',
            'name',
            'loads',
            'loaded_gal',
            'drops',
            'gallons',
            'flight_hours',
            'gallons_per_flight_hour',
            'median_turnaround_min',
          ],
          { total: totals(answer, ['loads', 'loaded_gal', 'drops', 'gallons', 'flight_hours'], 'base') },
        ),
      ])),
      ...(await asking.blocks(
        'turnarounds',
        (answer) => [
          chartOf(turnaroundParts, answer.rows as unknown as TurnaroundRow[]),
          tableOf(answer, 'Turnarounds', [
            'base',
            'turnarounds',
            'median_min',
            'p90_min',
            'fill_min',
            'hold_min',
            'out_min',
            'scene_min',
            'back_min',
          ]),
          text('Medians of parts need not add up to the median of the whole.'),
        ],
        { nothing: 'No turnaround is on record.' },
      )),
    ],
  }
}

async function aircraft(asking: Asking): Promise<Section> {
  return {
    title: 'Aircraft',
    blocks: await asking.blocks(
      'gallons-by-aircraft',
      (answer) => [
        tableOf(
          answer,
          'Gallons per aircraft',
          [
            'aircraft',
            'call_number',
            'drops',
            'gallons',
            'airborne_hours',
            'mission_hours',
            'gallons_per_airborne_hour',
            'gallons_per_mission_hour',
          ],
          { total: totals(answer, ['drops', 'gallons', 'airborne_hours', 'mission_hours'], 'aircraft') },
        ),
      ],
      { nothing: 'No aircraft flew.' },
    ),
  }
}

async function effectiveness(asking: Asking): Promise<Section> {
  const settings = biasIntervals(
    'setting-accuracy',
    'setting',
    'drops',
    'Released against commanded volume, mean with 95 % interval',
  )
  return {
    title: 'Effectiveness',
    blocks: [
      ...(await asking.blocks(
        'outcome-rates',
        (answer) => [
          chartOf(outcomeIntervals, answer.rows as unknown as OutcomeRow[]),
          tableOf(answer, 'Outcomes by objective, as observers assessed them', [
            'group_name',
            'assessed',
            'met_fire',
            'interaction_rate',
            'interaction_low',
            'interaction_high',
            'effective',
            'not_effective',
            'success_rate',
            'success_low',
            'success_high',
          ]),
        ],
        { nothing: 'No drop was assessed by an observer.', more: { by: 'objective' } },
      )),
      ...(await asking.blocks(
        'setting-accuracy',
        (answer) => [
          chartOf(
            settings,
            answer.rows.map((row) => ({
              label: `${row.tank} CL ${row.coverage_level ?? '–'} ${row.fraction ?? ''}`.trim(),
              count: Number(row.drops),
              bias_pct: row.bias_pct as number | null,
              low_pct: row.low_pct as number | null,
              high_pct: row.high_pct as number | null,
            })),
          ),
          tableOf(
            { ...answer, rows: answer.rows.filter(isOff) },
            'Settings off by more than chance explains (the interval leaves out 0)',
            settingColumns,
            { name: 'settings off', rowLimit: 40 },
          ),
          tableOf(answer, 'Setting accuracy', settingColumns, { isOffPaper: true }),
        ],
        { nothing: 'No measured drop has a commanded volume beside it.' },
      )),
      ...(await asking.blocks(
        'drift-alarms',
        (answer) => [
          tableOf(answer, 'Tanks that drifted', ['tank', 'from_at', 'from_drop', 'ewma_pct', 'limit_pct']),
        ],
        { nothing: 'No tank drifted beyond its control limits.' },
      )),
      ...(await asking.blocks(
        'coverage-for-fuel',
        (answer) => [
          tableOf(answer, 'Coverage level set, by fuel', [
            'fuel',
            'recommended',
            'coverage_level',
            'drops',
            'gallons',
          ]),
          text(
            'A difference from the recommendation is shown, not judged: the air attack decides on the day.',
          ),
        ],
        { nothing: 'No drop has both a fuel and a coverage level on record.' },
      )),
    ],
  }
}

const settingColumns = ['tank', 'coverage_level', 'fraction', 'drops', 'bias_pct', 'low_pct', 'high_pct']

function isOff(row: ResultRow): boolean {
  return Number(row.low_pct ?? 0) > 0 || Number(row.high_pct ?? 0) < 0
}

/** The line of sums under a table. */
function totals(answer: Answer, names: readonly string[], label: string): ResultRow {
  return { [label]: 'all', ...Object.fromEntries(names.map((name) => [name, sum(answer.rows, name)])) }
}
