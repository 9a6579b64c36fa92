import * as Plot from '@observablehq/plot'
import type { Chart } from './chart.ts'
import { ramp, rampInk, rule } from './palette.ts'
import { draw, narrow } from './plot.ts'
import { percentOf, plural } from './words.ts'

export interface BaseHourRow {
  base: string
  /** Hour of the day, 0–23, on the base's own clock. */
  hour: number
  loads: number
}

const hours = Array.from({ length: 24 }, (_, hour) => hour)
const clock = (hour: number): string => `${String(hour).padStart(2, '0')}:00`

/** Loads by base and hour of the day; the darker, the busier. */
export const baseHourLoad: Chart<BaseHourRow> = {
  name: 'base-hour-load',
  columns: [
    { name: 'base', label: 'base' },
    { name: 'hour', label: 'hour', measure: 'count' },
    { name: 'loads', label: 'loads', measure: 'count' },
  ],
  finding(rows) {
    const [peak] = [...rows].sort((a, b) => b.loads - a.loads)
    if (!peak) return 'No load on these days'
    const own = rows.filter((row) => row.base === peak.base)
    const total = own.reduce((sum, row) => sum + row.loads, 0)
    const around = own
      .filter((row) => Math.abs(row.hour - peak.hour) <= 1)
      .reduce((sum, row) => sum + row.loads, 0)
    return `${peak.base} is busiest at ${clock(peak.hour)}: ${percentOf(around, total)} of its loads fall within an hour of it`
  },
  caption: () => `Loads by base and hour of the day, count, on each base's own clock.`,
  describe(rows) {
    const most = [...rows].sort((a, b) => b.loads - a.loads).slice(0, 4)
    return `Grid of bases by hour. Busiest: ${most.map((row) => `${row.base} at ${clock(row.hour)}, ${plural(row.loads, 'load')}`).join('; ')}.`
  },
  draw(rows, size, options) {
    const bases = [...new Set(rows.map((row) => row.base))].sort((a, b) => sum(rows, b) - sum(rows, a))
    const most = rows.reduce((a, row) => Math.max(a, row.loads), 1)
    const steps = [0.2, 0.4, 0.6, 0.8].map((share) => share * most)
    const step = (loads: number): number => steps.filter((edge) => loads > edge).length
    const used = rows.length
      ? hours.slice(Math.min(...rows.map((row) => row.hour)), Math.max(...rows.map((row) => row.hour)) + 1)
      : hours
    return draw({ width: size.width, height: 34 + bases.length * 30 }, options, {
      marginLeft: 74,
      marginRight: 8,
      marginTop: 26,
      marginBottom: 8,
      x: {
        domain: used,
        axis: 'top',
        label: null,
        tickFormat: (hour: number) => (narrow(size) && hour % 3 ? '' : String(hour).padStart(2, '0')),
        tickSize: 0,
        padding: 0.06,
      },
      y: { domain: bases, label: null, tickSize: 0, padding: 0.08 },
      marks: [
        Plot.cell(
          bases.flatMap((base) => used.map((hour) => ({ base, hour }))),
          { x: 'hour', y: 'base', stroke: rule, strokeWidth: 0.5, fill: 'none' },
        ),
        Plot.cell(
          rows.filter((row) => row.loads > 0),
          {
            x: 'hour',
            y: 'base',
            fill: (row: BaseHourRow) => ramp[step(row.loads)]!,
            title: (row: BaseHourRow) => `${row.base}, ${clock(row.hour)}: ${plural(row.loads, 'load')}`,
            ...(options.link ? { href: (row: BaseHourRow) => options.link!({ base: row.base }) } : {}),
          },
        ),
        Plot.text(narrow(size) ? [] : rows.filter((row) => row.loads > 0), {
          x: 'hour',
          y: 'base',
          text: (row: BaseHourRow) => String(row.loads),
          fill: (row: BaseHourRow) => rampInk[step(row.loads)]!,
          pointerEvents: 'none',
        }),
      ],
    })
  },
}

const sum = (rows: readonly BaseHourRow[], base: string): number =>
  rows.reduce((total, row) => total + (row.base === base ? row.loads : 0), 0)
