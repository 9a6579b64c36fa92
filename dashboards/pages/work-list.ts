import { plural } from '../charts/words.ts'
import type { Context } from '../context.ts'
import { h } from '../h.ts'
import type { Page } from '../page.ts'
import { tankFamily } from '../parts/family.ts'
import { reportLinks } from '../parts/report-links.ts'
import { onThatDay } from '../parts/standing.ts'
import { empty } from '../parts/states.ts'
import { statusMark } from '../parts/status.ts'
import { table } from '../parts/table.ts'
import { textOf } from '../rows.ts'
import { dayText } from '../times.ts'
import { itemLink, taskName } from './due-table.ts'

interface WorkRow {
  tank: string
  visit: number
  visit_on: string
  task: string
  item: string
  is_reason: boolean
  status: string
}

const defaultAhead = '30'
const aheadOf = ({ address }: Context): string => address.plan.ahead ?? defaultAhead
const workOf = (context: Context): Promise<WorkRow[]> =>
  context.query<WorkRow>('work-list', { ...onThatDay(context), ahead: aheadOf(context) })

export const workList: Page = {
  name: 'work-list',
  title: 'Work list',
  lead: tankFamily,
  sections: [
    {
      question: 'Which tank is opened when?',
      needs: ['work-list'],
      async answer(context) {
        const rows = await workOf(context)
        const visits = visitsOf(rows)
        return [
          aheadChoice(context),
          reportLinks('work-list', {
            tank: context.filters.tank,
            ...onThatDay(context),
            ahead: aheadOf(context),
          }),
          visits.length
            ? table(
                visits.map((own) => ({
                  visit_on: own[0]!.visit_on,
                  tank: own[0]!.tank,
                  tasks: own.length,
                  asked_for_by: reasons(own),
                  along: own.filter((row) => !row.is_reason).length,
                })),
                {
                  caption:
                    'Visits within a year: the day by which the most urgent task falls due in one of ten futures',
                  name: 'visits',
                  columns: ['visit_on', 'tank', 'tasks', 'along', 'asked_for_by'],
                  limit: 20,
                },
                context,
              )
            : empty('No task falls due within a year.'),
        ]
      },
    },
    {
      question: 'What is done while it is open, and who signs?',
      needs: ['work-list'],
      async answer(context) {
        const visits = visitsOf(await workOf(context))
        return visits.length
          ? visits.map((own, at) => visitBlock(own, at, context))
          : empty('No task falls due within a year.')
      },
    },
  ],
}

function aheadChoice(context: Context): HTMLElement {
  const input = h('input', {
    id: 'work-ahead',
    type: 'number',
    min: '0',
    max: '365',
    step: '1',
    value: aheadOf(context),
    onchange: () => input.validity.valid && context.go({ plan: { ahead: input.value || null } }),
  })
  return h(
    'p',
    { class: 'standing' },
    h('label', { for: 'work-ahead' }, 'Take along what falls due within '),
    input,
    ' days of a visit.',
  )
}

/** Rows of one visit each, in the order of their days. */
function visitsOf(rows: readonly WorkRow[]): WorkRow[][] {
  const visits = new Map<string, WorkRow[]>()
  for (const row of rows) {
    const key = `${row.tank} ${row.visit}`
    visits.set(key, [...(visits.get(key) ?? []), row])
  }
  return [...visits.values()]
}

const reasons = (rows: readonly WorkRow[]): string => {
  const asking = rows.filter((row) => row.is_reason).map((row) => `${row.task} on ${row.item}`)
  return asking.length > 3
    ? `${asking.slice(0, 3).join(', ')} and ${asking.length - 3} more`
    : asking.join(', ')
}

function visitBlock(own: readonly WorkRow[], at: number, context: Context): HTMLElement {
  const [first] = own
  const title = `Tank ${first!.tank}, ${dayText(first!.visit_on, true)}`
  return h(
    'details',
    { class: 'visit', id: `visit-${first!.tank}-${first!.visit}`, open: at < 4 },
    h(
      'summary',
      {},
      h('b', { class: 'group' }, title),
      h('small', {}, ` ${plural(own.length, 'task')}; asked for by ${reasons(own)}`),
    ),
    table(
      own,
      {
        caption: title,
        name: `work-list-${first!.tank}-${first!.visit_on}`,
        query: 'work-list',
        columns: [
          'item',
          'position',
          'task',
          'status',
          'counter',
          'remaining',
          'due_on_p50',
          'is_reason',
          'done_on',
          'reading',
          'signed_by',
        ],
        limit: 200,
        sortable: false,
        cells: {
          item: (row) => itemLink(row, context),
          task: (row) => taskName(row),
          status: (row) => statusMark(textOf(row.status)),
          is_reason: (row) => (row.is_reason ? 'asks for it' : 'taken along'),
          done_on: () => h('span', { class: 'blank' }),
          reading: () => h('span', { class: 'blank' }),
          signed_by: () => h('span', { class: 'blank wide' }),
        },
      },
      context,
    ),
  )
}
