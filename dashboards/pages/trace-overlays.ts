import { type TraceRow, traceOverlay } from '../charts/trace-overlay.ts'
import type { Context } from '../context.ts'
import type { Child } from '../h.ts'
import { choices } from '../parts/choices.ts'
import { chartFigure } from '../parts/figure.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'
import { splitOf } from '../split.ts'

interface TraceRunRow {
  tank: string
  fraction: number | null
  run: number
  traces: number
}

/** Traces of one tank and setting at a time, so that lines that lie over one another are of one kind. */
export async function overlays(context: Context): Promise<Child> {
  const runs = await context.query<TraceRunRow>('trace-runs')
  if (!runs.length) return empty('No controller trace in this selection.')
  const tanks = [...new Set(runs.map((row) => row.tank))]
  const runsOf = (tank: string): number =>
    new Set(runs.filter((row) => row.tank === tank).map((row) => row.run)).size
  const first = [...tanks].sort((a, b) => runsOf(b) - runsOf(a))[0]!
  return choices(
    [{ name: 'tank', label: 'Tank', options: tanks.map((tank) => [tank, tank]), value: first }],
    async ({ tank }) => {
      const own = runs.filter((row) => row.tank === tank)
      const samples = await context.query<SettingSample>('trace-samples', { tank: tank!, latest: '40' })
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
