import { type BurnDownRow, burnDown } from '../charts/burn-down.ts'
import { dueWindows } from '../charts/due-windows.ts'
import { listed, plural } from '../charts/words.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import type { Page } from '../page.ts'
import { chosen } from '../parts/chosen.ts'
import { countCells } from '../parts/count-cells.ts'
import { tankFamily } from '../parts/family.ts'
import { chartFigure } from '../parts/figure.ts'
import { grouped } from '../parts/grouped.ts'
import { reportLinks } from '../parts/report-links.ts'
import { onThatDay, standingOf, today } from '../parts/standing.ts'
import { empty, missing } from '../parts/states.ts'
import { statusMark } from '../parts/status.ts'
import { table } from '../parts/table.ts'
import { dayText } from '../times.ts'
import { bySoonest, type Due, dueOrder, dueTable, itemLink, urgency, windowText } from './due-table.ts'

interface CycleRow {
  item: string
  kind: string
  counter: string
}

const noTask = (): HTMLElement =>
  empty('No inspection task is on record.', 'Drop in the task list (task.csv) and the fittings.')

const dueRows = (context: Context): Promise<Due[]> =>
  context.query<Due>('inspections-due', onThatDay(context))

export const tanks: Page = {
  name: 'tanks',
  title: 'Tanks & inspections',
  lead: tankFamily,
  sections: [
    {
      question: 'What falls due, and when?',
      needs: ['inspections-due'],
      async answer(context) {
        const rows = await dueRows(context)
        if (!rows.length) return noTask()
        return [passedSince(rows, context), chartFigure(dueWindows, rows, context)]
      },
    },
    {
      question: 'Which tank asks for work, and which of its limits governs?',
      needs: ['inspections-due'],
      async answer(context) {
        const rows = await dueRows(context)
        if (!rows.length) return noTask()
        const { as_of } = onThatDay(context)
        return [dueGroups(rows, context), reportLinks('maintenance', { tank: context.filters.tank, as_of })]
      },
    },
    {
      question: 'How fast is it burning down?',
      needs: ['inspections-due'],
      answer: (context) => burnDowns(context, 4),
    },
    {
      question: 'How many cycles has each tank and component seen?',
      needs: ['tank-cycles'],
      answer: (context) => cycles(context),
    },
    {
      question: 'How far can the forecast be trusted?',
      needs: ['due-backtest'],
      async answer(context) {
        const rows = await context.query<{
          coverage: number | null
          pinball_days: number | null
          tanks: number | null
        }>('due-backtest')
        if (!rows.some((row) => row.coverage !== null)) return empty('No season long enough to replay.')
        return table(
          rows.map((row) => ({ ...row, held_share: row.coverage })),
          {
            caption: `Replayed season: how often the 10 % to 90 % window held the day (80 % is right; with one season of history it holds less). Pinball loss: lower is better; a straight line is the naive rate of the last 30 days.${Number(rows[0]!.tanks) >= 100 ? ' Of a fleet this large 100 tanks are replayed, always the same.' : ''}`,
            name: 'due-backtest',
            query: 'due-backtest',
            columns: [
              'horizon_days',
              'forecasts',
              'inside_80',
              'held_share',
              'before_p10',
              'after_p90',
              'censored',
              'pinball_days',
              'straight_line_pinball_days',
            ],
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

/** What the calendar alone has let pass between the day that the list is of and today. */
function passedSince(rows: readonly Due[], context: Context): Child {
  const { day } = standingOf(context)
  const now = today()
  if (day >= now) return null
  const passed = rows.filter(
    (row) =>
      row.counter === 'days' &&
      row.due_on_p50 &&
      row.due_on_p50 < now &&
      !['overdue', 'in-tolerance'].includes(row.status),
  )
  if (!passed.length) return null
  return h(
    'p',
    { class: 'left-out' },
    `Since then ${plural(passed.length, 'limit')} in days ${passed.length === 1 ? 'has' : 'have'} passed by the calendar alone: stand on today to see ${passed.length === 1 ? 'it' : 'them'}.`,
  )
}

/** The due list in groups: by tank, how it stands, task, or kind of part. */
function dueGroups(rows: readonly Due[], context: Context): HTMLElement {
  const host = h('div')
  const all = h('input', {
    type: 'checkbox',
    id: 'due-all-limits',
    'data-kept': true,
    onchange: () => show(),
  })
  function show(): void {
    const kept = all.checked ? rows : rows.filter((row) => row.governs !== false)
    const by = host.querySelector<HTMLOptionElement>('#due-by option:checked')?.textContent
    host.replaceChildren(
      grouped(kept, {
        name: 'due',
        ...(by ? { by } : {}),
        groupings: [
          { label: 'tank', of: (row) => row.tank },
          { label: 'status', of: (row) => row.status },
          { label: 'task', of: (row) => (row.title ? `${row.task} ${row.title}` : row.task) },
          { label: 'kind of part', of: (row) => row.kind },
        ],
        rank: (own) => own.map(dueOrder).sort()[0]!,
        summary: (group, own) => summaryOf(group, own),
        isUnfolded: () => kept.length <= 25,
        draw: (group, own) =>
          dueTable([...own].sort(bySoonest), `Limits of ${group}, the gravest first`, context),
      }),
    )
  }
  show()
  return h(
    'div',
    {},
    host,
    h(
      'p',
      { class: 'faces chosen' },
      h(
        'label',
        { for: 'due-all-limits' },
        all,
        ' also the limits that another of the same task comes before',
      ),
    ),
  )
}

function summaryOf(group: string, own: readonly Due[]): Child {
  const next = [...own].filter((row) => row.due_on_p50).sort(bySoonest)[0]
  const through = own
    .map((row) => row.counted_through)
    .filter(Boolean)
    .sort()
  return [
    h('b', { class: 'group' }, group),
    ' ',
    urgency
      .map((status) => [status, own.filter((row) => row.status === status).length] as const)
      .filter(([, count]) => count > 0)
      .map(([status, count]) => [h('span', { class: 'tally' }, statusMark(status), ` ${count}`), ' ']),
    h(
      'small',
      {},
      next ? `first ${next.item} ${next.task}, ${windowText(next)}` : 'no day known',
      through.length ? `; counted through ${dayText(through[0], true)}` : '; nothing reported yet',
    ),
  ]
}

/** The counted limits that come next, each with what the futures leave of it. */
export async function burnDowns(context: Context, most: number): Promise<Child> {
  const day = onThatDay(context)
  const [past, ahead] = await Promise.all([
    context.maybe<BurnDownRow>('burn-down', day),
    context.maybe<BurnDownRow>('burn-down-ahead', day),
  ])
  if (!past) return missing(['burn-down'])
  const groups = new Map<string, BurnDownRow[]>()
  const key = (row: BurnDownRow): string => `${row.item} ${row.task}`
  for (const row of past) groups.set(key(row), [...(groups.get(key(row)) ?? []), row])
  for (const row of ahead ?? []) groups.get(key(row))?.push({ ...row, total: null })
  const isOpen = (rows: readonly BurnDownRow[]): boolean =>
    rows.some((row) => row.left_middle !== undefined && row.left_middle !== null)
  const nearest = alike([...groups.values()])
    .sort(
      ([a], [b]) =>
        Number(isOpen(b!)) - Number(isOpen(a!)) ||
        (a![0]!.due_on_p50 ?? '9').localeCompare(b![0]!.due_on_p50 ?? '9'),
    )
    .slice(0, most)
  return nearest.length
    ? h(
        'div',
        { class: 'pair' },
        nearest.map(([rows, ...others]) =>
          h(
            'div',
            {},
            chartFigure(burnDown, rows!, context),
            others.length
              ? h('p', { class: 'units' }, `Likewise ${listed(others.map((own) => own[0]!.item))}.`)
              : null,
          ),
        ),
      )
    : empty('No counted limit in this selection.')
}

/** Items whose burn-downs are one and the same drawing: six seals that were fitted on one day. */
function alike(groups: readonly BurnDownRow[][]): BurnDownRow[][][] {
  const drawings = new Map<string, BurnDownRow[][]>()
  for (const rows of groups) {
    const drawing = JSON.stringify([
      rows[0]!.task,
      ...rows.filter((row) => row.total !== null).map((row) => [row.day, row.limit_at - row.total!]),
    ])
    drawings.set(drawing, [...(drawings.get(drawing) ?? []), rows])
  }
  return [...drawings.values()]
}

/** Counters in parts; each part opens to the events behind it. */
export async function cycles(context: Context, kinds = true): Promise<Child> {
  const rows = await context.query<CycleRow>('tank-cycles', onThatDay(context))
  if (!rows.length) return empty('No counter is on record.')
  const columns = [
    'item',
    'kind',
    ...(kinds ? ['tank'] : []),
    'position',
    'counter',
    'baseline',
    'recorded',
    'counted',
    'inferred',
    'total',
    'assumed',
    'since_last',
    'counted_through',
  ]
  return [
    h(
      'p',
      { class: 'law' },
      'total = baseline + counted + inferred; recorded is the part of counted that a controller witnessed. Each number opens to the events behind it.',
    ),
    chosen(
      rows,
      [
        ['counter', 'Counter'],
        ['kind', 'Kind'],
      ],
      (part) =>
        table(
          part,
          {
            caption: 'Counters by part',
            name: 'tank-cycles',
            query: 'tank-cycles',
            columns,
            limit: 20,
            cells: { ...countCells(context), item: (row) => itemLink(row, context) },
          },
          context,
        ),
      'cycles',
    ),
  ]
}
