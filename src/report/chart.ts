import { parseHTML } from 'linkedom'
import type { Chart, ChartOptions } from '../../dashboards/charts/chart.ts'
import type { ChartBlock } from './block.ts'

/** Width of the type area of a page, in CSS pixels: 180 mm at 96 per inch. */
const pageWidth = 680

/** Draws one of the pages' charts as SVG text, in a document that lives in memory. */
export function chartOf<R>(chart: Chart<R>, rows: readonly R[], size: { height?: number } = {}): ChartBlock {
  const { document } = parseHTML('<!doctype html><html><body></body></html>')
  const options: ChartOptions = {
    document: document as unknown as Document,
    units: 'us',
    zone: 'UTC',
    live: false,
  }
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
