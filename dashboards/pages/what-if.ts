import { dueShift, type ShiftRow } from '../charts/due-shift.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import type { Page } from '../page.ts'
import { tankFamily } from '../parts/family.ts'
import { chartFigure } from '../parts/figure.ts'
import { onThatDay } from '../parts/standing.ts'
import { empty } from '../parts/states.ts'
import { statusMark } from '../parts/status.ts'
import { table } from '../parts/table.ts'
import { textOf } from '../rows.ts'
import { figure } from '../units.ts'
import { type Due, itemLink, taskName } from './due-table.ts'
import { supposeForm } from './suppose-form.ts'

const isSupposed = ({ address: { plan } }: Context): boolean =>
  Boolean(plan.per_day || plan.window || plan.done || plan.swap)

function shifted(context: Context): Promise<ShiftRow[]> {
  const { per_day, window, done, swap } = context.address.plan
  const given = Object.entries({ per_day, window, done, swap }).filter(([, value]) => value) as [
    string,
    string,
  ][]
  return context.query<ShiftRow>('due-what-if', { ...onThatDay(context), ...Object.fromEntries(given) })
}

const nothing = (): Child =>
  empty(
    'Nothing is supposed yet, so no day moves.',
    'Give an expected use, a season, planned work or a new part above.',
  )

export const whatIf: Page = {
  name: 'what-if',
  title: 'What if',
  lead: tankFamily,
  sections: [
    {
      question: 'What do you suppose?',
      needs: ['due-what-if'],
      async answer(context) {
        const rows = await context.query<Due>('inspections-due', onThatDay(context))
        return rows.length
          ? supposeForm(rows, context)
          : empty(
              'No inspection task is on record, so nothing can move.',
              'Drop in the task list (task.csv).',
            )
      },
    },
    {
      question: 'Which days would move?',
      needs: ['due-what-if'],
      async answer(context) {
        if (!isSupposed(context)) return nothing()
        return chartFigure(dueShift, await shifted(context), context)
      },
    },
    {
      question: 'How would each limit stand?',
      needs: ['due-what-if'],
      async answer(context) {
        if (!isSupposed(context)) return nothing()
        const rows = await shifted(context)
        const list = [...rows].sort(
          (a, b) =>
            Number(b.plan !== null) - Number(a.plan !== null) ||
            Math.abs(b.moved_days ?? 0) - Math.abs(a.moved_days ?? 0),
        )
        return [
          table(
            list,
            {
              caption: 'As it stands, and as it would be; nothing of it is written down',
              name: 'due-what-if',
              query: 'due-what-if',
              columns: [
                'item',
                'task',
                'counter',
                'plan',
                'now_due_on_p50',
                'due_on_p50',
                'moved_days',
                'due_on_p10',
                'due_on_p90',
                'now_status',
                'status',
                'chance_due_before',
              ],
              limit: 30,
              cells: {
                item: (row) => itemLink(row, context),
                task: (row) => taskName(row),
                now_status: (row) => statusMark(textOf(row.now_status)),
                status: (row) => statusMark(textOf(row.status)),
                moved_days: (row) => {
                  const days = row.moved_days as number | null
                  return days === null
                    ? '—'
                    : days > 0
                      ? `+${figure(days, 'count', 'us')}`
                      : figure(days, 'count', 'us')
                },
              },
            },
            context,
          ),
          h(
            'p',
            { class: 'units' },
            'Due before it: the share of the futures in which today’s limit is reached before the planned day.',
          ),
        ]
      },
    },
  ],
}
