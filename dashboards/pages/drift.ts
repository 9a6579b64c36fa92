import { type ControlRow, controlChart } from '../charts/control-chart.ts'
import { plural } from '../charts/words.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { evidenceLink } from '../parts/cells.ts'
import { choices } from '../parts/choices.ts'
import { chartFigure } from '../parts/figure.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'
import { textOf } from '../rows.ts'
import { dayText, timeText } from '../times.ts'
import { figure } from '../units.ts'

interface ChartedTank {
  tank: string
  drops: number
  watched: number
  alarms: number
  stands: boolean
}

/** Stable drops watched for one alarm by chance, as simulated. */
const dropsPerFalseAlarm = 650
const chartsShown = 4

/** Control charts, and the alarms with how many of them chance explains. */
export async function drift(context: Context): Promise<Child> {
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
              'ewma_pct',
              'limit_pct',
              'direction',
              'shape',
              'change_at',
              'change_span',
              'adjusted_at',
            ],
            cells: {
              from_at: (row) =>
                evidenceLink(
                  context,
                  'drop',
                  textOf(row.from_drop),
                  timeText(textOf(row.from_at), context.address.zone),
                ),
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
