import type { DueRow } from '../charts/due-windows.ts'
import type { Context } from '../context.ts'
import type { Child } from '../h.ts'
import { evidenceLink } from '../parts/cells.ts'
import { countCells } from '../parts/count-cells.ts'
import { statusMark } from '../parts/status.ts'
import { table } from '../parts/table.ts'
import { type Row, textOf } from '../rows.ts'
import { dayText } from '../times.ts'

/** A line of the due list as the pages use it. */
export interface Due extends DueRow {
  tank: string
  kind: string
  title: string | null
  position: string | null
  since_last: number | null
  counted_through: string | null
  reason: string | null
}

export const urgency = ['overdue', 'in-tolerance', 'due', 'no-baseline', 'plan', 'ok']

/** Sorts the gravest first, then the soonest. */
export const dueOrder = (row: { status: string; due_on_p50: string | null }): string =>
  `${urgency.indexOf(row.status)} ${row.due_on_p50 ?? '9'}`

export const bySoonest = (a: Due, b: Due): number =>
  dueOrder(a).localeCompare(dueOrder(b)) || a.item.localeCompare(b.item)

/** Limits as a table, in the order given. */
export function dueTable(rows: readonly Due[], caption: string, context: Context, limit = 40): HTMLElement {
  const counts = countCells(context)
  const has = (name: keyof Due): boolean => rows.some((row) => row[name] !== null && row[name] !== undefined)
  return table(
    rows,
    {
      caption,
      name: 'inspections-due',
      query: 'inspections-due',
      columns: [
        'item',
        'position',
        'task',
        'status',
        'due_on_p50',
        'window',
        'remaining',
        'counter',
        'total',
        'limit_at',
        'since_last',
        'counted_through',
        ...(rows.some((row) => row.governs === false) ? ['governs'] : []),
        ...(has('reason') ? ['reason'] : []),
      ].filter((name) => name !== 'position' || has('position')),
      limit,
      cells: {
        item: (row) => itemLink(row, context),
        task: (row) => taskName(row),
        status: (row) => statusMark(textOf(row.status)),
        window: (row) => windowText(row as unknown as Due),
        total: (row) => counts.total!(row),
        since_last: (row) => counts.since_last!(row),
      },
    },
    context,
  )
}

/** `4 Oct – 1 Nov 2026`; a single day when both ends are the same; open where the futures end. */
export function windowText({
  due_on_p10,
  due_on_p90,
}: Readonly<Record<'due_on_p10' | 'due_on_p90', string | null>>): string {
  if (!due_on_p10) return '—'
  if (!due_on_p90) return `from ${brief(due_on_p10, true)}`
  if (due_on_p10 === due_on_p90) return brief(due_on_p90, true)
  return `${brief(due_on_p10, due_on_p10.slice(0, 4) !== due_on_p90.slice(0, 4))} – ${brief(due_on_p90, true)}`
}

const brief = (day: string, withYear: boolean): string =>
  dayText(day, withYear).replace(/([A-Z][a-z]{2})[a-z]+/, '$1')

export const taskName = (row: Row): Child =>
  row.title ? `${textOf(row.task)} ${textOf(row.title)}` : textOf(row.task)

export function itemLink(row: Row, context: Context): Child {
  const item = textOf(row.item)
  return evidenceLink(
    context,
    row.kind === 'tank' || row.tank === row.item ? 'tank' : 'component',
    item,
    item,
  )
}
