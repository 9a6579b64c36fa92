import { biasIntervals } from '../../dashboards/charts/bias-intervals.ts'
import { type ControlRow, controlChart } from '../../dashboards/charts/control-chart.ts'
import { type OutcomeRow, outcomeIntervals } from '../../dashboards/charts/outcome-intervals.ts'
import { type TraceRow, traceOverlay } from '../../dashboards/charts/trace-overlay.ts'
import { splitOf } from '../../dashboards/split.ts'
import type { ResultRow } from '../catalogue/index.ts'
import { type Answer, type Asking, tableOf } from './asking.ts'
import { type Block, type Section, text } from './block.ts'
import { chartOf, chartsOf } from './chart.ts'

/** Whether the drops worked, whether the tanks still deliver what is set, and what the coverage was. */
export async function effectiveness(asking: Asking): Promise<Section> {
  return {
    title: 'Effectiveness',
    blocks: [
      ...(await outcomes(asking)),
      ...(await drift(asking)),
      ...(await asking.blocks('setting-accuracy', (answer) => settings(answer, asking), {
        nothing: 'No measured drop has a commanded volume beside it.',
      })),
      ...(await traces(asking)),
      ...(await coverage(asking)),
    ],
  }
}

function outcomes(asking: Asking): Promise<Block[]> {
  return asking.blocks(
    'outcome-rates',
    (answer) => [
      chartOf(outcomeIntervals, answer.rows as unknown as OutcomeRow[], asking.look),
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
  )
}

const settingColumns = ['tank', 'coverage_level', 'fraction', 'drops', 'bias_pct', 'low_pct', 'high_pct']
const accuracy = biasIntervals(
  'setting-accuracy',
  'setting',
  'drops',
  'Released against commanded volume by tank, coverage level and split, percent, 95 % interval. Settings with ten drops or more, where there are any.',
)

/** Few drops say little: settings with ten or more, where there are any, as on the page. */
function settings(answer: Answer, asking: Asking): Block[] {
  const enough = answer.rows.filter((row) => Number(row.drops) >= 10)
  const rows = (enough.length > 0 ? enough : answer.rows).map((row) => ({
    label: `${row.tank} · CL ${row.coverage_level ?? '–'} · ${splitOf(row.fraction as number | null)}`,
    count: Number(row.drops),
    bias_pct: row.bias_pct as number | null,
    low_pct: row.low_pct as number | null,
    high_pct: row.high_pct as number | null,
  }))
  const off = answer.rows.filter(isOff)
  return [
    chartOf(accuracy, rows, asking.look),
    ...(off.length > 0
      ? [
          tableOf(
            { ...answer, rows: off },
            'Settings off by more than chance explains (the interval leaves out 0)',
            settingColumns,
            { name: 'settings off', rowLimit: 40 },
          ),
        ]
      : []),
    tableOf(answer, 'Setting accuracy', settingColumns, { isOffPaper: true }),
  ]
}

function isOff(row: ResultRow): boolean {
  return Number(row.low_pct ?? 0) > 0 || Number(row.high_pct ?? 0) < 0
}

async function drift(asking: Asking): Promise<Block[]> {
  const alarms = await asking.blocks(
    'drift-alarms',
    (answer) => [
      tableOf(answer, 'Tanks that drifted', ['tank', 'from_at', 'from_drop', 'ewma_pct', 'limit_pct']),
    ],
    { nothing: 'No tank drifted beyond its control limits.' },
  )
  const drifted = new Set((await asking.ask('drift-alarms'))?.rows.map((row) => row.tank))
  const points = ((await asking.ask('control-chart'))?.rows ?? []) as unknown as ControlRow[]
  const groups = [...drifted]
    .map((tank) => points.filter((row) => row.tank === tank))
    .filter((rows) => rows.length > 0)
    .slice(0, 4)
  return groups.length > 0 ? [...alarms, chartsOf(controlChart, groups, asking.look)] : alarms
}

async function traces(asking: Asking): Promise<Block[]> {
  const samples = await asking.ask('trace-samples')
  if (samples === null || samples.rows.length === 0) return []
  return [chartOf(traceOverlay, samples.rows as unknown as TraceRow[], asking.look, { height: 230 })]
}

function coverage(asking: Asking): Promise<Block[]> {
  return asking.blocks(
    'coverage-for-fuel',
    (answer) => [
      tableOf(answer, 'Coverage level set, by fuel', [
        'fuel',
        'recommended',
        'coverage_level',
        'drops',
        'gallons',
      ]),
      text('A difference from the recommendation is shown, not judged: the air attack decides on the day.'),
    ],
    { nothing: 'No drop has both a fuel and a coverage level on record.' },
  )
}
