import * as Plot from '@observablehq/plot'
import { dayText } from '../times.ts'
import type { Chart } from './chart.ts'
import { clip } from './clip.ts'
import { blue, ink, muted, oxide, rule, slate } from './palette.ts'
import { draw, narrow } from './plot.ts'
import { plural } from './words.ts'

export interface ShiftRow {
  task: string
  item: string
  counter: string
  plan: string | null
  governs: boolean | null
  now_due_on_p10: string | null
  now_due_on_p50: string | null
  now_due_on_p90: string | null
  due_on_p10: string | null
  due_on_p50: string | null
  due_on_p90: string | null
  now_status: string
  status: string
  moved_days: number | null
  chance_due_before: number | null
}

const moment = (day: string): Date => new Date(`${day}T00:00:00Z`)
const key = (row: ShiftRow): string => `${row.item} · ${row.task} ${row.counter}`
const most = 20

/** Due days as they stand and as they would be: the first above the second. */
export const dueShift: Chart<ShiftRow> = {
  name: 'due-shift',
  columns: [
    { name: 'item', label: 'item' },
    { name: 'task', label: 'task' },
    { name: 'counter', label: 'counter' },
    { name: 'plan', label: 'supposed' },
    { name: 'now_due_on_p50', label: 'now, 50 %', measure: 'day' },
    { name: 'due_on_p10', label: 'if so, 10 %', measure: 'day' },
    { name: 'due_on_p50', label: 'if so, 50 %', measure: 'day' },
    { name: 'due_on_p90', label: 'if so, 90 %', measure: 'day' },
    { name: 'moved_days', label: 'moves by, days', measure: 'count' },
  ],
  finding(rows) {
    const later = rows.filter((row) => (row.moved_days ?? 0) > 0).length
    const earlier = rows.filter((row) => (row.moved_days ?? 0) < 0).length
    if (!later && !earlier) return 'No due day moves'
    const parts = [
      earlier ? `${plural(earlier, 'limit')} would fall due earlier` : '',
      later ? `${later} later` : '',
    ]
    return parts
      .filter(Boolean)
      .join(', ')
      .replace(/^(\d+) later/, (_all, count) => `${plural(Number(count), 'limit')} would fall due later`)
  },
  caption: (rows) =>
    `Window from 10 % to 90 %, the tick at 50 %: grey as it stands, blue as it would be.${moving(rows).length > most ? ` The ${most} that move most, of ${moving(rows).length}.` : ''}`,
  describe: (rows) =>
    `Pairs of due windows. ${moving(rows)
      .slice(0, 6)
      .map(
        (row) => `${key(row)}: ${dayText(row.now_due_on_p50, true)}, if so ${dayText(row.due_on_p50, true)}`,
      )
      .join('; ')}.`,
  draw(rows, size, options) {
    const list = moving(rows).slice(0, most)
    const left = narrow(size) ? 128 : 250
    const bar = (
      early: keyof ShiftRow,
      middle: keyof ShiftRow,
      late: keyof ShiftRow,
      colour: string,
      isAbove: boolean,
    ) => {
      const known = list.filter((row) => row[early] && row[middle])
      const inset = isAbove ? { insetTop: 3, insetBottom: 14 } : { insetTop: 13, insetBottom: 4 }
      return [
        Plot.barX(
          known.filter((row) => row[late]),
          {
            x1: (row: ShiftRow) => moment(row[early] as string),
            x2: (row: ShiftRow) => moment(row[late] as string),
            y: key,
            fill: colour,
            fillOpacity: 0.4,
            ...inset,
          },
        ),
        Plot.tickX(known, {
          x: (row: ShiftRow) => moment(row[middle] as string),
          y: key,
          stroke: colour,
          strokeWidth: 3,
          insetTop: inset.insetTop - 2,
          insetBottom: inset.insetBottom - 2,
        }),
      ]
    }
    return draw({ width: size.width, height: 46 + list.length * 26 }, options, {
      marginLeft: left,
      marginRight: 64,
      marginTop: 34,
      marginBottom: 8,
      x: { type: 'utc', axis: 'top', label: null, grid: true, ticks: narrow(size) ? 3 : 7 },
      y: { domain: list.map(key), axis: null },
      marks: [
        Plot.ruleY(list, { y: key, stroke: rule, strokeWidth: 0.4, dy: 12 }),
        ...bar('now_due_on_p10', 'now_due_on_p50', 'now_due_on_p90', slate, true),
        ...bar('due_on_p10', 'due_on_p50', 'due_on_p90', blue, false),
        Plot.text(list, {
          y: key,
          frameAnchor: 'left',
          dx: -8,
          textAnchor: 'end',
          fill: (row: ShiftRow) => (row.plan ? oxide : ink),
          text: (row: ShiftRow) =>
            clip(narrow(size) ? `${row.item} ${row.task}` : key(row), narrow(size) ? 19 : 40),
        }),
        Plot.text(list, {
          y: key,
          frameAnchor: 'right',
          dx: 8,
          textAnchor: 'start',
          fill: muted,
          fontSize: 10.5,
          text: (row: ShiftRow) =>
            row.moved_days === null
              ? '—'
              : `${row.moved_days > 0 ? '+' : ''}${row.moved_days} d`.replace('-', '−'),
        }),
        Plot.frame({ anchor: 'left', stroke: rule }),
      ],
    })
  },
}

/** What is planned first, then what moves most. */
const moving = (rows: readonly ShiftRow[]): ShiftRow[] =>
  rows
    .filter((row) => (row.plan || row.moved_days) && (row.due_on_p50 || row.now_due_on_p50))
    .sort(
      (a, b) =>
        Number(b.plan !== null) - Number(a.plan !== null) ||
        Math.abs(b.moved_days ?? 0) - Math.abs(a.moved_days ?? 0) ||
        key(a).localeCompare(key(b)),
    )
