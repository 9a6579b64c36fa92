import * as Plot from '@observablehq/plot'
import type { ChartOptions, Size } from './chart.ts'
import { clip } from './clip.ts'
import { letterWidth } from './colour-key.ts'
import { ink, muted, rule } from './palette.ts'
import { draw, narrow } from './plot.ts'

export interface Interval {
  label: string
  value: number
  low: number
  high: number
  colour: string
  note: string
  href?: string | undefined
}

/** Dots with their 95 % intervals, one line each, against a reference. */
export function drawIntervals(
  rows: readonly Interval[],
  size: Size,
  options: ChartOptions,
  scale: { domain?: [number, number]; format: (value: number) => string; reference?: number },
): SVGSVGElement {
  // Names and counts have the room that they need, names up to two fifths of the drawing.
  const widest = (texts: readonly string[]): number => Math.max(0, ...texts.map((text) => text.length))
  const labels = rows.map((row) => row.label)
  const most = Math.floor((0.4 * size.width - 16) / letterWidth)
  const left = 16 + Math.max(12, Math.min(most, widest(labels))) * letterWidth
  const right = 14 + Math.max(5, widest(rows.map((row) => row.note))) * letterWidth
  return draw({ width: size.width, height: 40 + rows.length * 26 }, options, {
    marginLeft: left,
    marginRight: right,
    marginTop: 26,
    marginBottom: 10,
    x: {
      axis: 'top',
      grid: true,
      label: null,
      tickFormat: scale.format,
      ticks: narrow(size) ? 3 : 6,
      ...(scale.domain ? { domain: scale.domain } : {}),
    },
    y: { domain: labels, axis: null },
    marks: [
      Plot.ruleX(scale.reference === undefined ? [] : [scale.reference], { stroke: ink }),
      Plot.ruleY(rows, { y: 'label', stroke: rule, strokeWidth: 0.5 }),
      Plot.link(rows, {
        x1: 'low',
        x2: 'high',
        y1: 'label',
        y2: 'label',
        stroke: 'colour',
        strokeWidth: 2.2,
      }),
      Plot.dot(rows, {
        x: 'value',
        y: 'label',
        fill: 'colour',
        r: 4.5,
        title: (row: Interval) =>
          `${row.label}: ${scale.format(row.value)} (${scale.format(row.low)} to ${scale.format(row.high)})`,
        ...(rows.some((row) => row.href) ? { href: 'href' } : {}),
      }),
      Plot.text(rows, {
        y: 'label',
        frameAnchor: 'left',
        dx: -8,
        textAnchor: 'end',
        fill: ink,
        text: (row: Interval) => clip(row.label, Math.max(12, most)),
      }),
      Plot.text(rows, {
        y: 'label',
        frameAnchor: 'right',
        dx: 8,
        textAnchor: 'start',
        fill: muted,
        fontSize: 11,
        text: 'note',
      }),
    ],
  })
}
