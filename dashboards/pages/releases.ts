import { biasIntervals } from '../charts/bias-intervals.ts'
import { type ControlRow, controlChart } from '../charts/control-chart.ts'
import { type TraceRow, traceOverlay } from '../charts/trace-overlay.ts'
import { plural } from '../charts/words.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import type { Page } from '../page.ts'
import { evidenceLink } from '../parts/cells.ts'
import { choices } from '../parts/choices.ts'
import { chartFigure } from '../parts/figure.ts'
import { longTable } from '../parts/long-table.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'
import { type Row, textOf } from '../rows.ts'
import { dayText, timeText } from '../times.ts'
import { figure } from '../units.ts'

interface AccuracyRow {
  tank: string
  coverage_level: number | null
  fraction: number | null
  drops: number
  bias_pct: number | null
  low_pct: number | null
  high_pct: number | null
}
interface ChartedTank {
  tank: string
  drops: number
  watched: number
  alarms: number
  stands: boolean
}
interface AdjustmentRow {
  tank: string
  adjusted_at: string
  subject: string
  bias_before_pct: number | null
  bias_after_pct: number | null
  verdict: string
}
interface TraceRunRow {
  tank: string
  fraction: number | null
  run: number
  traces: number
}

const accuracy = biasIntervals(
  'setting-accuracy',
  'setting',
  'drops',
  'Released against commanded by tank, coverage level and split, percent, 95 % interval. Measured volumes only; settings with ten drops or more, where there are any.',
)
/** Stable drops watched for one alarm by chance, as simulated. */
const dropsPerFalseAlarm = 650
const chartsShown = 4

/** For the supervisor who can have doors adjusted: does each tank deliver what is set, and did the adjustment help? */
export const releases: Page = {
  name: 'releases',
  title: 'Settings & releases',
  sections: [
    {
      question: 'Does each tank still deliver what the crew sets?',
      needs: ['setting-accuracy'],
      async answer(context) {
        const every = await context.query<AccuracyRow>('setting-accuracy')
        const enough = every.filter((row) => row.drops >= 10)
        const rows = enough.length ? enough : every
        const list = rows.map((row) => ({
          label: `${row.tank} · CL ${row.coverage_level ?? '–'} · ${splitOf(row.fraction)}`,
          count: row.drops,
          bias_pct: row.bias_pct,
          low_pct: row.low_pct,
          high_pct: row.high_pct,
        }))
        if (!rows.length) return empty('No measured drop carries a setting.')
        const few = every.length - enough.length
        return [
          chartFigure(accuracy, list, context),
          few && enough.length
            ? h(
                'p',
                { class: 'note' },
                `${plural(few, 'setting')} with fewer than ten drops left out: too small to speak.`,
              )
            : null,
        ]
      },
    },
    {
      question: 'Which tank drifts, and since when?',
      needs: ['drift-alarms', 'control-summary', 'control-chart'],
      answer: drift,
    },
    {
      question: 'Did the adjustment help?',
      needs: ['adjustment-effect'],
      answer: adjustments,
    },
    {
      question: 'How do the releases run out, before and after?',
      needs: ['trace-runs', 'trace-samples'],
      answer: overlays,
    },
    {
      question: 'Which releases stand behind it?',
      needs: ['traces'],
      answer: (context) =>
        longTable(
          {
            caption:
              'Release traces: time out, flow, and what was laid. Late or partly opened doors are findings (Records & findings).',
            name: 'traces',
            query: 'traces',
            none: 'No controller trace in this selection.',
            columns: [
              'dropped_at',
              'tank',
              'fraction',
              'evacuation_s',
              'mean_flow_gal_s',
              'peak_flow_gal_s',
              'constancy_pct',
              'trace_gal',
              'logged_gal',
              'gallons_per_ft',
              'coverage_level',
              'coverage_laid',
            ],
            cells: { dropped_at: (row) => dropLink(row, context) },
          },
          context,
        ),
    },
  ],
}

const splitOf = (fraction: number | null): string =>
  fraction === null
    ? 'split not known'
    : ({ 0.25: '¼', 0.5: '½', 0.75: '¾', 1: 'full' }[fraction] ?? `${fraction}`)

async function drift(context: Context): Promise<Child> {
  const tanks = await context.query<ChartedTank>('control-summary')
  if (!tanks.length) return empty('No measured drop carries a setting.')
  const alarms = await context.query<object>('drift-alarms')
  const watched = tanks.reduce((sum, row) => sum + row.watched, 0)
  const alarmed = tanks.reduce((sum, row) => sum + row.alarms, 0)
  const options = [
    ['', 'those with alarms first'] as const,
    ...tanks.map((row) => [row.tank, row.tank] as const),
  ]
  return [
    h(
      'p',
      { class: 'lead' },
      `${plural(alarmed, 'alarm')} over ${plural(watched, 'drop')} watched. About one stable drop in ${dropsPerFalseAlarm} alarms by chance: expect ${figure(watched / dropsPerFalseAlarm, 'hours', 'us')} of these to be false. An alarm that stands is a reason to look, not a verdict.`,
    ),
    choices([{ name: 'tank', label: 'Charts of', options, value: '' }], async ({ tank }) => {
      const shown = tank ? [tank] : tanks.slice(0, chartsShown).map((row) => row.tank)
      const points = await Promise.all(
        shown.map((one) => context.query<ControlRow>('control-chart', { tank: one })),
      )
      return h(
        'div',
        { class: shown.length > 1 ? 'pair' : '' },
        points.map((rows) => chartFigure(controlChart, rows, context)),
      )
    }),
    alarms.length
      ? table(
          alarms,
          {
            caption: 'Drift alarms',
            name: 'drift-alarms',
            query: 'drift-alarms',
            columns: [
              'tank',
              'from_at',
              'from_drop',
              'ewma_pct',
              'limit_pct',
              'direction',
              'shape',
              'change_at',
              'change_span',
              'adjusted_at',
            ],
            cells: {
              change_span: (row) =>
                row.change_low_at
                  ? `${dayText(textOf(row.change_low_at))} to ${dayText(textOf(row.change_high_at))}`
                  : '—',
            },
            sortable: false,
            limit: 15,
          },
          context,
        )
      : empty('No tank has left its limits.'),
  ]
}

async function adjustments(context: Context): Promise<Child> {
  const rows = await context.query<AdjustmentRow>('adjustment-effect')
  const [newest] = rows
  if (!newest)
    return empty('No adjustment of doors or control settings is on record.', 'Drop in adjustment.csv.')
  const percent = (value: number | null): string => `${figure(value, 'percent', 'us')} %`
  return [
    h(
      'p',
      { class: 'lead' },
      `${newest.tank}, ${newest.subject}, ${timeText(newest.adjusted_at, context.address.zone).slice(0, 10)}: mean error ${percent(newest.bias_before_pct)} before, ${percent(newest.bias_after_pct)} after; ${newest.verdict}.`,
    ),
    table(
      rows,
      {
        caption:
          'Setting error before and after each adjustment; the 95 % interval is of the change, percentage points',
        name: 'adjustment-effect',
        query: 'adjustment-effect',
        columns: [
          'tank',
          'adjusted_at',
          'subject',
          'drops_before',
          'bias_before_pct',
          'drops_after',
          'bias_after_pct',
          'change_pct',
          'low_pct',
          'high_pct',
          'verdict',
        ],
        limit: 15,
      },
      context,
    ),
  ]
}

/** Traces of one tank and setting at a time, so that lines that lie over one another are of one kind. */
async function overlays(context: Context): Promise<Child> {
  const runs = await context.query<TraceRunRow>('trace-runs')
  if (!runs.length) return empty('No controller trace in this selection.')
  const tanks = [...new Set(runs.map((row) => row.tank))]
  const runsOf = (tank: string): number =>
    new Set(runs.filter((row) => row.tank === tank).map((row) => row.run)).size
  const first = [...tanks].sort((a, b) => runsOf(b) - runsOf(a))[0]!
  return choices(
    [{ name: 'tank', label: 'Tank', options: tanks.map((tank) => [tank, tank]), value: first }],
    async ({ tank }) => {
      const [own, samples] = await Promise.all([
        Promise.resolve(runs.filter((row) => row.tank === tank)),
        context.query<SettingSample>('trace-samples', { tank: tank!, latest: '40' }),
      ])
      const settings = [...new Set(samples.map(settingOf))].sort(
        (a, b) => runsIn(samples, b) - runsIn(samples, a) || tracesIn(samples, b) - tracesIn(samples, a),
      )
      const options = settings.map((one) => [one, one] as const)
      return [
        choices([{ name: 'setting', label: 'Setting', options, value: settings[0]! }], ({ setting }) =>
          chartFigure(
            traceOverlay,
            samples.filter((row) => settingOf(row) === setting),
            context,
          ),
        ),
        table(
          own,
          {
            caption:
              'Means by setting and run; an adjustment begins a new run. What was laid is an estimate over the stated pattern width, none lost to drift.',
            name: 'trace-runs',
            query: 'trace-runs',
            columns: [
              'fraction',
              'coverage_level',
              'run',
              'run_from_at',
              'traces',
              'evacuation_s',
              'evacuation_sd_s',
              'mean_flow_gal_s',
              'constancy_pct',
              'released_of_set',
              'coverage_of_set',
            ],
            sortable: false,
          },
          context,
        ),
      ]
    },
  )
}

type SettingSample = TraceRow & { fraction: number | null; coverage_level: number | null }
const settingOf = (row: SettingSample): string =>
  `${splitOf(row.fraction)}, CL ${row.coverage_level ?? 'not known'}`
const distinct = (
  rows: readonly SettingSample[],
  setting: string,
  of: (row: SettingSample) => unknown,
): number => new Set(rows.filter((row) => settingOf(row) === setting).map(of)).size
const runsIn = (rows: readonly SettingSample[], setting: string): number =>
  distinct(rows, setting, (row) => row.run)
const tracesIn = (rows: readonly SettingSample[], setting: string): number =>
  distinct(rows, setting, (row) => row.trace)

function dropLink(row: Row, context: Context): Child {
  const time = timeText(textOf(row.dropped_at), context.address.zone)
  return row.drop ? evidenceLink(context, 'drop', textOf(row.drop), time) : time
}
