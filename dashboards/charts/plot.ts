import * as Plot from '@observablehq/plot'
import type { ChartOptions, Size } from './chart.ts'

const family = 'var(--sans, "Gill Sans", "Gill Sans MT", Candara, "Noto Sans", "Nimbus Sans", sans-serif)'

/** A drawing with the house's type and grounds. Never a figure: titles and legends stand outside the drawing. */
export function draw(size: Size, options: ChartOptions, spec: Plot.PlotOptions): SVGSVGElement {
  const element = Plot.plot({
    width: size.width,
    ...(size.height ? { height: size.height } : {}),
    ...(options.document ? { document: options.document } : {}),
    style: {
      background: 'transparent',
      color: 'inherit',
      fontFamily: family,
      fontSize: '12px',
      overflow: 'visible',
    },
    ...spec,
  })
  // The kinds of its marks (`dot`, `rule`) tell a listener nothing, and such labels need a role that they have not.
  for (const labelled of element.querySelectorAll('[aria-label]')) labelled.removeAttribute('aria-label')
  return element as SVGSVGElement
}

export const narrow = (size: Size): boolean => size.width < 520
