import { biasIntervals } from '../charts/bias-intervals.ts'
import { plural } from '../charts/words.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import type { Page } from '../page.ts'
import { evidenceLink } from '../parts/cells.ts'
import { chartFigure } from '../parts/figure.ts'
import { longTable } from '../parts/long-table.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'
import { type Row, textOf } from '../rows.ts'
import { splitOf } from '../split.ts'
import { timeText } from '../times.ts'
import { figure } from '../units.ts'
import { drift } from './drift.ts'
import { overlays } from './trace-overlays.ts'

interface AccuracyRow {
  tank: string
  coverage_level: number | null
  fraction: number | null
  drops: number
  bias_pct: number | null
  low_pct: number | null
  high_pct: number | null
}
interface AdjustmentRow {
  tank: string
  adjusted_at: string
  subject: string
  bias_before_pct: number | null
  bias_after_pct: number | null
  verdict: string
}
const accuracy = biasIntervals(
  'setting-accuracy',
  'setting',
  'drops',
  'Released against commanded by tank, coverage level and split, percent, 95 % interval. Measured volumes only; settings with ten drops or more, where there are any.',
)
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

function dropLink(row: Row, context: Context): Child {
  const time = timeText(textOf(row.dropped_at), context.address.zone)
  return row.drop ? evidenceLink(context, 'drop', textOf(row.drop), time) : time
}
