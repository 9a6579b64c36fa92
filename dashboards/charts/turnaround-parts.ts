import * as Plot from '@observablehq/plot'
import { figure } from '../units.ts'
import type { Chart } from './chart.ts'
import { colourKey } from './colour-key.ts'
import { blue, ink, muted, ochre, oxide, slate, violet } from './palette.ts'
import { draw, narrow } from './plot.ts'

export interface TurnaroundRow {
  base: string
  turnarounds: number
  median_min: number | null
  p90_min: number | null
  fill_min: number | null
  hold_min?: number | null
  out_min: number | null
  scene_min: number | null
  back_min: number | null
}

interface Part {
  base: string
  label: string
  colour: string
  minutes: number
}

const parts = [
  ['fill', 'fill_min', ochre],
  ['hold', 'hold_min', slate],
  ['out', 'out_min', blue],
  ['on scene', 'scene_min', oxide],
  ['back', 'back_min', violet],
] as const

/** Median minutes of each part of a turnaround, end to end. Medians of parts need not add up to the median of the whole. */
export const turnaroundParts: Chart<TurnaroundRow> = {
  name: 'turnaround-parts',
  columns: [
    { name: 'base', label: 'base' },
    { name: 'turnarounds', label: 'turnarounds', measure: 'count' },
    { name: 'median_min', label: 'median', measure: 'minutes' },
    { name: 'p90_min', label: '90 %', measure: 'minutes' },
    { name: 'fill_min', label: 'fill', measure: 'minutes' },
    { name: 'hold_min', label: 'hold', measure: 'minutes' },
    { name: 'out_min', label: 'out', measure: 'minutes' },
    { name: 'scene_min', label: 'on scene', measure: 'minutes' },
    { name: 'back_min', label: 'back', measure: 'minutes' },
  ],
  finding(rows) {
    const list = usable(rows)
    if (!list.length) return 'No turnaround on these days'
    const quickest = list[0]!
    const slowest = list.at(-1)!
    const heavy = parts
      .map(([label, key]) => ({ label, minutes: slowest[key] ?? 0 }))
      .sort((a, b) => b.minutes - a.minutes)[0]!
    return list.length === 1
      ? `${slowest.base}: ${figure(slowest.median_min, 'minutes', 'us')} min load to load, ${figure(heavy.minutes, 'minutes', 'us')} of them ${heavy.label}`
      : `${slowest.base} takes ${figure(slowest.median_min, 'minutes', 'us')} min load to load against ${figure(quickest.median_min, 'minutes', 'us')} at ${quickest.base}; its longest part is ${heavy.label}`
  },
  caption: () =>
    'Median minutes of each part, by base; the tick is the median of the whole turnaround, to which medians of parts need not add up.',
  describe: (rows) =>
    `Stacked bars: ${usable(rows)
      .map(
        (row) =>
          `${row.base} ${parts.map(([label, key]) => `${label} ${figure(row[key], 'minutes', 'us')}`).join(', ')} minutes`,
      )
      .join('; ')}.`,
  draw(rows, size, options) {
    const list = usable(rows)
    const segments: Part[] = list.flatMap((row) =>
      parts.map(([label, key, colour]) => ({ base: row.base, label, colour, minutes: row[key] ?? 0 })),
    )
    return draw({ width: size.width, height: 76 + list.length * 32 }, options, {
      marginLeft: 74,
      marginRight: narrow(size) ? 24 : 60,
      marginTop: 62,
      marginBottom: 12,
      x: { axis: 'top', grid: true, label: 'minutes', labelArrow: 'none', ticks: narrow(size) ? 4 : 8 },
      y: { domain: list.map((row) => row.base), label: null, tickSize: 0 },
      marks: [
        Plot.barX(
          segments,
          Plot.stackX({
            x: 'minutes',
            y: 'base',
            fill: 'colour',
            order: null,
            insetTop: 6,
            insetBottom: 6,
            insetLeft: 0.5,
            insetRight: 0.5,
            title: (part: Part) =>
              `${part.base}, ${part.label}: ${figure(part.minutes, 'minutes', 'us')} min`,
            ...(options.link ? { href: (part: Part) => options.link!({ base: part.base }) } : {}),
          }),
        ),
        ...colourKey(
          parts.map(([label, , colour]) => [label, colour]),
          { frameAnchor: 'top-left', dy: -46 },
        ),
        Plot.tickX(list, {
          x: 'median_min',
          y: 'base',
          stroke: ink,
          strokeWidth: 2,
          insetTop: 2,
          insetBottom: 2,
        }),
        Plot.text(list, {
          x: 'median_min',
          y: 'base',
          dx: 6,
          dy: -11,
          textAnchor: 'start',
          fill: muted,
          fontSize: 10,
          text: (row: TurnaroundRow) => figure(row.median_min, 'minutes', 'us'),
        }),
        Plot.ruleX([0], { stroke: ink }),
      ],
    })
  },
}

const usable = (rows: readonly TurnaroundRow[]): TurnaroundRow[] =>
  rows.filter((row) => row.median_min !== null).sort((a, b) => a.median_min! - b.median_min!)
