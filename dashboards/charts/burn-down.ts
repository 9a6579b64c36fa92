import * as Plot from '@observablehq/plot'
import { dayText } from '../times.ts'
import { figure } from '../units.ts'
import type { Chart } from './chart.ts'
import { blue, ink, oxide, rule } from './palette.ts'
import { draw, narrow } from './plot.ts'

export interface BurnDownRow {
  item: string
  task: string
  counter: string
  /** Count so far on an operating day; null on the row that carries only the forecast. */
  day: string | null
  total: number | null
  limit_at: number
  due_on_p10: string | null
  due_on_p50: string | null
  due_on_p90: string | null
  /** On a coming day: what is left in 10, 50 and 90 % of the futures (`burn-down-ahead`). */
  left_low?: number | null
  left_middle?: number | null
  left_high?: number | null
}

const moment = (day: string): Date => new Date(`${day}T00:00:00Z`)

/** What remains before the limit, day by day, and the fan of days on which nothing may remain. */
export const burnDown: Chart<BurnDownRow> = {
  name: 'burn-down',
  columns: [
    { name: 'item', label: 'item' },
    { name: 'task', label: 'task' },
    { name: 'counter', label: 'counter' },
    { name: 'day', label: 'day', measure: 'day' },
    { name: 'total', label: 'total', measure: 'count' },
    { name: 'limit_at', label: 'limit', measure: 'count' },
    { name: 'due_on_p10', label: 'due, 10 %', measure: 'day' },
    { name: 'due_on_p50', label: 'due, 50 %', measure: 'day' },
    { name: 'due_on_p90', label: 'due, 90 %', measure: 'day' },
  ],
  finding(rows) {
    const now = latest(rows)
    if (!now) return 'No count is on record for this item'
    const left = now.limit_at - now.total!
    const when = now.due_on_p50
      ? `; likely due ${on(now, now.due_on_p50)}, not before ${on(now, now.due_on_p10)} in nine of ten cases`
      : ''
    return left < 0
      ? `${now.item} is ${figure(-left, 'count', 'us')} ${now.counter} past the limit of ${now.task}`
      : `${now.item} has ${figure(left, 'count', 'us')} ${now.counter} left to ${now.task}${when}`
  },
  caption: (rows) =>
    `Remaining ${latest(rows)?.counter ?? 'count'} before the limit; the fan spans the 10 % to 90 % due days.`,
  describe(rows) {
    const now = latest(rows)
    if (!now) return 'Nothing to draw.'
    return `Falling steps to ${figure(now.limit_at - now.total!, 'count', 'us')} remaining on ${dayText(now.day, true)}. Forecast to reach the limit between ${dayText(now.due_on_p10, true)} and ${dayText(now.due_on_p90, true)}, middle ${dayText(now.due_on_p50, true)}.`
  },
  draw(rows, size, options) {
    const past = rows
      .filter((row) => row.day && row.total !== null)
      .sort((a, b) => a.day!.localeCompare(b.day!))
    const now = past.at(-1)
    const remaining = (row: BurnDownRow): number => row.limit_at - row.total!
    const start = now ? { day: moment(now.day!), left: remaining(now) } : null
    const [early, middle, late] = [now?.due_on_p10, now?.due_on_p50, now?.due_on_p90].map((day) =>
      day ? moment(day) : null,
    )
    const isOpen = start !== null && start.left > 0 && !!early && !!middle
    const known = start !== null && start.left > 0 ? aheadOf(rows, start, late ?? null) : []
    const fan = known.length ? known : isOpen ? fanRows(start, early, middle, late ?? null) : []
    return draw({ width: size.width, height: size.height ?? 260 }, options, {
      marginLeft: 44,
      marginRight: 60,
      marginTop: 14,
      marginBottom: 40,
      x: { type: 'utc', label: null, ticks: narrow(size) ? 3 : 7 },
      y: { grid: true, label: null, zero: true, ticks: 5 },
      marks: [
        Plot.areaY(fan, {
          x: 'day',
          y1: 'low',
          y2: 'high',
          fill: blue,
          fillOpacity: 0.2,
        }),
        Plot.line(known.length ? known : isOpen ? [start, { day: middle, left: 0 }] : [], {
          x: 'day',
          y: 'left',
          stroke: blue,
          strokeWidth: 1.8,
          strokeDasharray: '5,3',
        }),
        Plot.line(past, {
          x: (row: BurnDownRow) => moment(row.day!),
          y: remaining,
          stroke: ink,
          curve: 'step-after',
          strokeWidth: 1.8,
        }),
        Plot.dot(start ? [start] : [], { x: 'day', y: 'left', fill: ink, r: 3 }),
        Plot.dot(isOpen ? [early, middle, late].filter((day) => !!day) : [], {
          x: (day: Date) => day,
          y: () => 0,
          fill: blue,
          r: 3.5,
        }),
        Plot.ruleY([0], { stroke: oxide, strokeWidth: 2 }),
        Plot.text([0], {
          y: 0,
          frameAnchor: 'right',
          dx: 6,
          textAnchor: 'start',
          fill: oxide,
          fontWeight: 600,
          text: () => 'limit',
        }),
        Plot.text(isOpen ? [middle] : [], {
          x: (day: Date) => day,
          y: () => 0,
          dy: 14,
          text: () => '50 %',
          fill: blue,
          fontSize: 10,
        }),
        Plot.ruleX(start ? [start.day] : [], { stroke: rule, strokeDasharray: '2,3' }),
      ],
    })
  },
}

/**
 * The fan at a grid of days, between the earliest and the latest line to zero. A latest day too far off to be known
 * leaves the upper edge where it is: it may not be used at all.
 */
function fanRows(start: Left, early: Date, middle: Date, late: Date | null): Fan[] {
  const from = start.day.getTime()
  const until = Math.max((late ?? middle).getTime(), middle.getTime())
  const fall = (end: Date, at: number): number =>
    Math.max(0, start.left * (1 - (at - from) / Math.max(1, end.getTime() - from)))
  return Array.from({ length: 41 }, (_, index) => {
    const at = from + (index / 40) * (until - from)
    return {
      day: new Date(at),
      low: fall(early, at),
      left: fall(middle, at),
      high: late ? fall(late, at) : start.left,
    }
  })
}

/** What is left on coming days, from the futures themselves: they know the idle winter. */
function aheadOf(rows: readonly BurnDownRow[], start: Left, late: Date | null): Fan[] {
  const coming = rows
    .filter((row) => row.day && row.left_low !== undefined && row.left_low !== null)
    .sort((a, b) => a.day!.localeCompare(b.day!))
    .map((row) => ({
      day: moment(row.day!),
      low: row.left_low!,
      left: row.left_middle!,
      high: row.left_high!,
    }))
  if (!coming.length) return []
  const until = late ? late.getTime() + 4 * 864e5 : Number.POSITIVE_INFINITY
  return [
    { day: start.day, low: start.left, left: start.left, high: start.left },
    ...coming.filter((row) => row.day > start.day && row.day.getTime() <= until),
  ]
}

interface Fan extends Left {
  low: number
  high: number
}

interface Left {
  day: Date
  left: number
}

/** A day, with its year where that is another one. */
const on = (now: BurnDownRow, day: string | null): string =>
  dayText(day, day?.slice(0, 4) !== now.day?.slice(0, 4))

function latest(rows: readonly BurnDownRow[]): BurnDownRow | undefined {
  return rows
    .filter((row) => row.day && row.total !== null)
    .sort((a, b) => a.day!.localeCompare(b.day!))
    .at(-1)
}
