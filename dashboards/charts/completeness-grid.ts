import * as Plot from '@observablehq/plot'
import { dayText } from '../times.ts'
import type { Chart } from './chart.ts'
import { clip } from './clip.ts'
import { blue, ink, oxide, rule } from './palette.ts'
import { draw, narrow } from './plot.ts'
import { plural } from './words.ts'

export interface CompletenessRow {
  aircraft: string
  day: string
  witness: string
  flights: number
  events: number
  last_arrived_at: string | null
}

const at = (day: string): Date => new Date(`${day}T00:00:00Z`)
const reported = (row: CompletenessRow): boolean => row.events > 0
const line = (row: CompletenessRow): string => `${row.aircraft} ${row.witness}`

/** More cells and lines than these say no more, and a page that draws them all stands still. */
const mostCells = 4000
const mostLines = 80

/** All rows; of very many those of the latest days, of the lines that miss most. */
function drawn(rows: readonly CompletenessRow[]): readonly CompletenessRow[] {
  if (rows.length <= mostCells) return rows
  const perDay = new Map<string, number>()
  for (const { day } of rows) perDay.set(day, (perDay.get(day) ?? 0) + 1)
  let [count, first] = [0, '']
  for (const day of [...perDay.keys()].sort().reverse()) {
    first = day
    count += perDay.get(day)!
    if (count >= mostCells) break
  }
  const latest = rows.filter((row) => row.day >= first)
  const missing = new Map<string, number>()
  for (const row of latest) missing.set(line(row), (missing.get(line(row)) ?? 0) + (reported(row) ? 0 : 1))
  const kept = new Set(
    [...missing]
      .sort(([a, x], [b, y]) => y - x || a.localeCompare(b))
      .slice(0, mostLines)
      .map(([name]) => name),
  )
  return latest.filter((row) => kept.has(line(row)))
}

/** Of a few days the days, not their hours. */
function ticksOf(rows: readonly CompletenessRow[], most: number): number | string {
  const days = rows.map((row) => at(row.day).getTime())
  return (Math.max(...days) - Math.min(...days)) / 86_400_000 < most ? 'day' : most
}

/** Flying days of each aircraft by witness: a filled cell reported, an open one with a cross did not. */
export const completenessGrid: Chart<CompletenessRow> = {
  name: 'completeness',
  columns: [
    { name: 'aircraft', label: 'aircraft' },
    { name: 'day', label: 'day', measure: 'day' },
    { name: 'witness', label: 'witness' },
    { name: 'flights', label: 'flights', measure: 'count' },
    { name: 'events', label: 'events', measure: 'count' },
    { name: 'last_arrived_at', label: 'last arrived', measure: 'time' },
  ],
  finding(rows) {
    const missing = rows.filter((row) => !reported(row))
    if (!rows.length) return 'No flying day on these days'
    if (!missing.length) return 'Every flying day has been reported by every expected witness'
    const [first] = [...missing].sort((a, b) => a.day.localeCompare(b.day))
    return `${plural(missing.length, 'report')} missing; the oldest is the ${first!.witness} of ${first!.aircraft} for ${dayText(first!.day)}`
  },
  caption(rows) {
    const [cells, all] = [drawn(rows).length, rows.length]
    const some =
      cells < all
        ? ` Drawn: ${cells.toLocaleString('en-US')} of ${all.toLocaleString('en-US')}, the latest days; filter by aircraft or season for the others.`
        : ''
    return `Flying days by aircraft and witness. Filled: reported. Cross: flights on record, nothing from this witness.${some}`
  },
  describe: (rows) =>
    `Grid of ${plural(rows.length, 'aircraft-day')}; missing: ${
      rows
        .filter((row) => !reported(row))
        .slice(0, 10)
        .map((row) => `${line(row)} ${dayText(row.day)}`)
        .join('; ') || 'none'
    }.`,
  draw(every, size, options) {
    const rows = drawn(every)
    const lines = [...new Set(rows.map(line))].sort()
    return draw({ width: size.width, height: 52 + lines.length * 15 }, options, {
      marginLeft: narrow(size) ? 100 : 130,
      marginRight: 10,
      marginTop: 38,
      marginBottom: 10,
      x: { type: 'utc', axis: 'top', label: null, ticks: ticksOf(rows, narrow(size) ? 3 : 8) },
      y: {
        domain: lines,
        label: null,
        tickSize: 0,
        tickFormat: (text: string) => clip(text, narrow(size) ? 16 : 22),
      },
      marks: [
        Plot.ruleY(lines, { stroke: rule, strokeWidth: 0.5 }),
        Plot.dot(rows.filter(reported), {
          x: (row: CompletenessRow) => at(row.day),
          y: line,
          symbol: 'square',
          r: 3,
          fill: blue,
          title: (row: CompletenessRow) =>
            `${line(row)}, ${dayText(row.day)}: ${plural(row.events, 'event')}`,
        }),
        Plot.dot(
          rows.filter((row) => !reported(row)),
          {
            x: (row: CompletenessRow) => at(row.day),
            y: line,
            symbol: 'times',
            r: 4,
            stroke: oxide,
            strokeWidth: 2,
            title: (row: CompletenessRow) => `${line(row)}, ${dayText(row.day)}: nothing arrived`,
            ...(options.link
              ? {
                  href: (row: CompletenessRow) =>
                    options.link!({ aircraft: row.aircraft, from: row.day, to: row.day }),
                }
              : {}),
          },
        ),
        Plot.frame({ anchor: 'left', stroke: ink }),
      ],
    })
  },
}
