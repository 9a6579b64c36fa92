import { parseHTML } from 'linkedom'
import type { Chart, ChartOptions } from '../../dashboards/charts/chart.ts'
import type { ChartBlock, PairBlock } from './block.ts'
import type { Look } from './look.ts'

/** Width of the type area of a page, in CSS pixels: 180 mm at 96 per inch. */
const pageWidth = 680
const halfWidth = 330

/** Draws one of the pages' charts as SVG text, in a document that lives in memory. */
export function chartOf<R>(
  chart: Chart<R>,
  rows: readonly R[],
  look: Look,
  size: { width?: number; height?: number } = {},
): ChartBlock {
  const { document } = parseHTML('<!doctype html><html><body></body></html>')
  const options: ChartOptions = { document: document as unknown as Document, ...look, live: false }
  const svg = chart.draw(rows, { width: pageWidth, ...size }, options)
  svg.setAttribute('role', 'img')
  svg.setAttribute('aria-label', chart.describe(rows, options))
  return {
    is: 'chart',
    finding: chart.finding(rows, options),
    caption: chart.caption(rows, options),
    description: chart.describe(rows, options),
    svg: svg.outerHTML,
  }
}

/** Charts of the same kind, two beside each other. */
export function chartsOf<R>(chart: Chart<R>, groups: readonly (readonly R[])[], look: Look): PairBlock {
  return {
    is: 'pair',
    charts: groups.map((rows) => chartOf(chart, rows, look, { width: halfWidth, height: 190 })),
  }
}
