import { biasIntervals } from '../charts/bias-intervals.ts'
import { type ControlRow, controlChart } from '../charts/control-chart.ts'
import { type OutcomeRow, outcomeIntervals } from '../charts/outcome-intervals.ts'
import { type TraceRow, traceOverlay } from '../charts/trace-overlay.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import type { Page } from '../page.ts'
import { evidenceLink } from '../parts/cells.ts'
import { chartFigure } from '../parts/figure.ts'
import { empty, missing } from '../parts/states.ts'
import { table } from '../parts/table.ts'
import { type Row, textOf } from '../rows.ts'
import { timeText } from '../times.ts'

interface AccuracyRow {
  tank: string
  coverage_level: number | null
  fraction: number | null
  drops: number
  bias_pct: number | null
  low_pct: number | null
  high_pct: number | null
  is_small?: boolean | null
}

const accuracy = biasIntervals(
  'setting-accuracy',
  'setting',
  'drops',
  'Released against commanded by tank, coverage level and split, percent, 95 % interval. Measured volumes only; settings with ten drops or more, where there are any.',
)
const groups = [
  ['objective', 'objective'],
  ['class', 'aircraft class'],
  ['fuel', 'fuel'],
  ['coverage', 'coverage level'],
] as const

export const effectiveness: Page = {
  name: 'effectiveness',
  title: 'Effectiveness',
  sections: [
    {
      question: 'Did the drops work?',
      needs: ['outcome-rates'],
      async answer(context) {
        const sets = await Promise.all(
          groups.map(([by]) => context.query<OutcomeRow>('outcome-rates', { by })),
        )
        const drawn = groups.flatMap(([, label], at) =>
          sets[at]!.some((row) => row.success_rate !== null)
            ? [
                h(
                  'div',
                  {},
                  h('p', { class: 'by' }, `By ${label}`),
                  chartFigure(
                    { ...outcomeIntervals, name: `outcomes-by-${label.replace(' ', '-')}` },
                    sets[at]!,
                    context,
                  ),
                ),
              ]
            : [],
        )
        return drawn.length
          ? h('div', { class: 'pair' }, drawn)
          : empty('No drop has been assessed.', 'Drop in observers’ assessments (assessment.csv).')
      },
    },
    {
      question: 'Does each tank still deliver what the crew sets?',
      needs: ['setting-accuracy'],
      async answer(context) {
        const every = await context.query<AccuracyRow>('setting-accuracy')
        const enough = every.filter((row) => row.drops >= 10)
        const rows = enough.length ? enough : every
        const list = rows.map((row) => ({
          label: `${row.tank} · CL ${row.coverage_level ?? '–'} · ${row.fraction ?? '–'}`,
          count: row.drops,
          bias_pct: row.bias_pct,
          low_pct: row.low_pct,
          high_pct: row.high_pct,
        }))
        return rows.length
          ? chartFigure(accuracy, list, context)
          : empty('No measured drop carries a setting.')
      },
    },
    {
      question: 'Which tank drifts, and since when?',
      needs: ['drift-alarms'],
      async answer(context) {
        const alarms = await context.query<{ tank: string }>('drift-alarms')
        const points = await context.maybe<ControlRow>('control-chart')
        const list = alarms.length
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
                  ...['direction', 'shape', 'change_at', 'adjusted_at'].filter(
                    (name) => alarms[0] && name in alarms[0],
                  ),
                ],
                sortable: false,
              },
              context,
            )
          : empty('No tank has left its limits.')
        if (!points) return [list, missing(['control-chart'])]
        const all = [...new Set(points.map((row) => row.tank))]
        const order = all.sort(
          (a, b) =>
            Number(alarms.some((row) => row.tank === b)) - Number(alarms.some((row) => row.tank === a)),
        )
        if (!points.length) return [empty('No measured drop carries a setting.'), alarms.length ? list : null]
        return [
          h(
            'div',
            { class: 'pair' },
            order.slice(0, 4).map((tank) =>
              chartFigure(
                controlChart,
                points.filter((row) => row.tank === tank),
                context,
              ),
            ),
          ),
          list,
        ]
      },
    },
    {
      question: 'How do the releases run out?',
      needs: ['trace-samples', 'traces'],
      async answer(context) {
        const [samples, traces] = await Promise.all([
          context.query<TraceRow>('trace-samples'),
          context.query<object>('traces'),
        ])
        if (!samples.length) return empty('No controller trace in this selection.')
        const columns = [
          'dropped_at',
          'tank',
          'fraction',
          'evacuation_s',
          'mean_flow_gal_s',
          'peak_flow_gal_s',
          'constancy_pct',
          'gallons_per_ft',
          'coverage_level',
          'coverage_laid',
        ]
        return [
          chartFigure(traceOverlay, samples, context),
          table(
            traces,
            {
              caption: 'Release traces: time out, flow, and what was laid',
              name: 'traces',
              query: 'traces',
              columns,
              limit: 12,
              cells: { dropped_at: (row) => dropLink(row, context) },
            },
            context,
          ),
        ]
      },
    },
    {
      question: 'Was the coverage what the fuel calls for?',
      needs: ['coverage-for-fuel'],
      async answer(context) {
        const rows = await context.query<object>('coverage-for-fuel')
        return rows.length
          ? table(
              rows,
              {
                caption:
                  'Coverage set against the published recommendation. Shown, not judged: the air attack decides on the day.',
                name: 'coverage-for-fuel',
                query: 'coverage-for-fuel',
                columns: ['fuel', 'recommended', 'coverage_level', 'drops', 'gallons'],
                limit: 20,
              },
              context,
            )
          : empty('No drop names its fuel.')
      },
    },
  ],
}

function dropLink(row: Row, context: Context): Child {
  const time = timeText(textOf(row.dropped_at), context.address.zone)
  return row.drop ? evidenceLink(context, 'drop', textOf(row.drop), time) : time
}
