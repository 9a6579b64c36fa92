import { type BurnDownRow, burnDown } from '../charts/burn-down.ts'
import { type DueRow, dueWindows } from '../charts/due-windows.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import type { Page } from '../page.ts'
import { evidenceLink } from '../parts/cells.ts'
import { chosen } from '../parts/chosen.ts'
import { chartFigure } from '../parts/figure.ts'
import { empty, missing } from '../parts/states.ts'
import { statusMark } from '../parts/status.ts'
import { table } from '../parts/table.ts'
import { type Row, textOf } from '../rows.ts'
import { dayText } from '../times.ts'

interface CycleRow {
  item: string
  kind: string
  counter: string
}

const caution =
  'A planning aid. The approved inspection programme, the maintenance manual and licensed staff decide.'
const isTank = (row: { kind?: string }): boolean => row.kind === 'tank' || row.kind === undefined

export const tanks: Page = {
  name: 'tanks',
  title: 'Tanks & inspections',
  sections: [
    {
      question: 'What falls due, and when?',
      needs: ['inspections-due'],
      async answer(context) {
        const rows = await context.query<DueRow>('inspections-due')
        if (!rows.length)
          return empty(
            'No inspection task is on record.',
            'Drop in the task list (task.csv) and the fittings.',
          )
        return [
          h('p', { class: 'caution' }, caution, ' ', standing(context)),
          chartFigure(dueWindows, rows, context),
        ]
      },
    },
    {
      question: 'How much is left on each?',
      needs: ['inspections-due'],
      async answer(context) {
        const rows = await context.query<DueRow>('inspections-due')
        const rank = ['overdue', 'in-tolerance', 'due', 'plan', 'no-baseline', 'ok']
        const sorted = [...rows].sort(
          (a, b) =>
            rank.indexOf(a.status) - rank.indexOf(b.status) ||
            (a.due_on_p50 ?? '9').localeCompare(b.due_on_p50 ?? '9'),
        )
        return table(
          sorted,
          {
            caption: 'Inspections, the nearest first',
            name: 'inspections-due',
            query: 'inspections-due',
            columns: [
              'item',
              'task',
              'status',
              'counter',
              'total',
              'limit_at',
              'remaining',
              'due_on_p50',
              'window',
              'governs',
              ...also(rows, ['since_last', 'counted_through', 'reason']),
            ],
            limit: 30,
            cells: {
              item: (row) => itemLink(row, context),
              status: (row) => statusMark(textOf(row.status)),
              window: (row) => windowText(textOf(row.due_on_p10), textOf(row.due_on_p90)),
            },
          },
          context,
        )
      },
    },
    {
      question: 'How fast is it burning down?',
      needs: ['inspections-due'],
      async answer(context) {
        const history = await context.maybe<BurnDownRow>('burn-down')
        if (!history) return missing(['burn-down'])
        const groups = new Map<string, BurnDownRow[]>()
        for (const row of history)
          groups.set(`${row.item} ${row.task}`, [...(groups.get(`${row.item} ${row.task}`) ?? []), row])
        const nearest = [...groups.values()]
          .sort((a, b) => (a[0]!.due_on_p50 ?? '9').localeCompare(b[0]!.due_on_p50 ?? '9'))
          .slice(0, 4)
        return nearest.length
          ? h(
              'div',
              { class: 'pair' },
              nearest.map((rows) => chartFigure(burnDown, rows, context)),
            )
          : empty('No counted limit in this selection.')
      },
    },
    {
      question: 'How many cycles has each tank and component seen?',
      needs: ['tank-cycles'],
      async answer(context) {
        const rows = await context.query<CycleRow>('tank-cycles')
        if (!rows.length) return empty('No counter is on record.')
        const extra = also(rows, ['assumed', 'since_last', 'counted_through'])
        const columns = [
          'item',
          'kind',
          'tank',
          'position',
          'counter',
          'baseline',
          'recorded',
          'counted',
          'inferred',
          'total',
          ...extra,
        ]
        return chosen(
          rows,
          [
            ['counter', 'Counter'],
            ['kind', 'Kind'],
          ],
          (part) =>
            table(
              part,
              {
                caption: 'Counters by part: total = baseline + counted + inferred',
                name: 'tank-cycles',
                query: 'tank-cycles',
                columns,
                limit: 20,
                cells: { item: (row) => itemLink(row, context) },
              },
              context,
            ),
        )
      },
    },
    {
      question: 'How far can the forecast be trusted?',
      needs: ['due-backtest'],
      half: true,
      async answer(context) {
        const rows = await context.query<{ coverage: number | null }>('due-backtest')
        if (!rows.length) return empty('No season long enough to replay.')
        return table(
          rows.map((row) => ({ ...row, held_share: row.coverage })),
          {
            caption: 'Replayed season: how often the 10 % to 90 % window held the day (80 % is right)',
            name: 'due-backtest',
            columns: ['horizon_days', 'forecasts', 'inside_80', 'held_share'],
            cells: {
              held_share: (row) =>
                row.held_share === null ? '—' : `${Math.round(100 * Number(row.held_share))} %`,
            },
            sortable: false,
          },
          context,
        )
      },
    },
  ],
}

function itemLink(row: Row, context: Context): Child {
  return evidenceLink(
    context,
    isTank(row as { kind?: string }) && row.tank === row.item ? 'tank' : kindOfItem(row),
    textOf(row.item),
    textOf(row.item),
  )
}

/** The day that the due list is of. */
function standing(context: Context): string {
  const { to } = context.filters
  return to ? `Standing on ${dayText(to, true)}.` : `Standing today; set “To” above for another day.`
}

/** `4 Oct – 1 Nov 2026`; a single day when both ends are the same. */
function windowText(first: string, last: string): string {
  if (!first || !last) return '—'
  const brief = (day: string, withYear: boolean): string =>
    dayText(day, withYear).replace(/([A-Z][a-z]{2})[a-z]+/, '$1')
  const isOneYear = first.slice(0, 4) === last.slice(0, 4)
  return first === last ? brief(last, true) : `${brief(first, !isOneYear)} – ${brief(last, true)}`
}

const kindOfItem = (row: Row): string => (row.kind === 'tank' ? 'tank' : 'component')
const also = (rows: readonly object[], names: readonly string[]): string[] =>
  names.filter((name) => rows[0] && name in rows[0])
