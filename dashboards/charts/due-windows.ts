import * as Plot from '@observablehq/plot'
import { dayText } from '../times.ts'
import type { Chart } from './chart.ts'
import { clip } from './clip.ts'
import { blue, ink, muted, ochre, oxide, rule, slate } from './palette.ts'
import { draw, narrow } from './plot.ts'
import { plural } from './words.ts'

export interface DueRow {
  task: string
  item: string
  counter: string
  limit_at: number | null
  total: number | null
  remaining: number | null
  due_on_p10: string | null
  due_on_p50: string | null
  due_on_p90: string | null
  status: string
  governs: boolean | null
}

export const statusColours: Readonly<Record<string, string>> = {
  overdue: oxide,
  'in-tolerance': ochre,
  due: ochre,
  plan: blue,
  ok: slate,
  'no-baseline': slate,
}
const moment = (day: string): Date => new Date(`${day}T00:00:00Z`)
const key = (row: DueRow): string => `${row.item} · ${row.task}`

/** The window in which each inspection falls due, soonest first. */
export const dueWindows: Chart<DueRow> = {
  name: 'due-windows',
  columns: [
    { name: 'item', label: 'item' },
    { name: 'task', label: 'task' },
    { name: 'counter', label: 'counter' },
    { name: 'remaining', label: 'remaining', measure: 'count' },
    { name: 'due_on_p10', label: 'due, 10 %', measure: 'day' },
    { name: 'due_on_p50', label: 'due, 50 %', measure: 'day' },
    { name: 'due_on_p90', label: 'due, 90 %', measure: 'day' },
    { name: 'status', label: 'status' },
  ],
  finding(rows) {
    // Of the limits of one task on one item, that which comes first counts for it.
    const governing = rows.filter((row) => row.governs !== false)
    const count = (...statuses: string[]): number =>
      governing.filter((row) => statuses.includes(row.status)).length
    const overdue = count('overdue')
    const due = count('due', 'in-tolerance')
    const soon = `${due ? `${due} due or in tolerance, ` : ''}${count('plan')} to plan`
    const [first] = drawn(rows).filter((row) => !isReached(row))
    const next = first
      ? `next: ${first.item}, ${first.task}, about ${dayText(first.due_on_p50, true)}`
      : 'no other has a forecast'
    return overdue
      ? `${plural(overdue, 'inspection')} overdue, ${soon}; ${next}`
      : `Nothing overdue, ${soon}; ${next}`
  },
  caption: (rows) =>
    `Window of the due day: 10 % to 90 %, the tick at 50 %.${ordered(rows).length > drawn(rows).length ? ` ${drawn(rows).length} of ${ordered(rows).length}: those longest reached, and those that come next.` : ''}`,
  describe: (rows) =>
    `Bars of due windows. ${drawn(rows)
      .slice(0, 6)
      .map(
        (row) => `${key(row)}: ${dayText(row.due_on_p10)} to ${dayText(row.due_on_p90, true)}, ${row.status}`,
      )
      .join('; ')}.`,
  draw(rows, size, options) {
    const list = drawn(rows)
    const left = narrow(size) ? 116 : 190
    return draw({ width: size.width, height: 52 + list.length * 22 }, options, {
      marginLeft: left,
      marginRight: 72,
      marginTop: 38,
      marginBottom: 10,
      x: { type: 'utc', axis: 'top', label: null, grid: true, ticks: narrow(size) ? 3 : 7 },
      y: { domain: list.map(key), axis: null },
      marks: [
        Plot.barX(list, {
          x1: (row: DueRow) => moment(row.due_on_p10!),
          x2: (row: DueRow) => moment(row.due_on_p90!),
          y: key,
          fill: (row: DueRow) => statusColours[row.status] ?? slate,
          fillOpacity: 0.4,
          insetTop: 6,
          insetBottom: 6,
          title: (row: DueRow) =>
            `${key(row)}: ${dayText(row.due_on_p10)} to ${dayText(row.due_on_p90, true)}`,
        }),
        Plot.tickX(list, {
          x: (row: DueRow) => moment(row.due_on_p50!),
          y: key,
          stroke: (row: DueRow) => statusColours[row.status] ?? slate,
          strokeWidth: 3,
          insetTop: 3,
          insetBottom: 3,
        }),
        Plot.text(list, {
          y: key,
          frameAnchor: 'left',
          dx: -8,
          textAnchor: 'end',
          fill: ink,
          text: (row: DueRow) => clip(key(row), narrow(size) ? 18 : 30),
        }),
        Plot.text(list, {
          y: key,
          x: (row: DueRow) => moment(row.due_on_p90!),
          dx: 5,
          textAnchor: 'start',
          fill: muted,
          fontSize: 10,
          text: (row: DueRow) => (row.status === 'ok' ? '' : row.status),
        }),
        Plot.frame({ anchor: 'left', stroke: rule }),
      ],
    })
  },
}

const most = 20
const isReached = (row: DueRow): boolean => row.remaining !== null && row.remaining < 0

/** Some of those that are reached, and those that come next. */
function drawn(rows: readonly DueRow[]): DueRow[] {
  const all = ordered(rows)
  const reached = all.filter(isReached)
  const coming = all
    .filter((row) => !isReached(row))
    .sort((a, b) => a.due_on_p50!.localeCompare(b.due_on_p50!))
  const few = reached.slice(0, Math.max(most / 2, most - coming.length))
  return [...few, ...coming.slice(0, most - few.length)]
}
const rank = ['overdue', 'in-tolerance', 'due', 'plan', 'ok']

/** The governing limits with a forecast: the gravest first, then the soonest. */
const ordered = (rows: readonly DueRow[]): DueRow[] =>
  rows
    .filter((row) => row.governs !== false && row.due_on_p10 && row.due_on_p50 && row.due_on_p90)
    .sort(
      (a, b) => rank.indexOf(a.status) - rank.indexOf(b.status) || a.due_on_p50!.localeCompare(b.due_on_p50!),
    )
