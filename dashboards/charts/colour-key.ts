import * as Plot from '@observablehq/plot'
import { paper } from './palette.ts'

/** A letter of the house's type at 12 px is about this wide. */
export const letterWidth = 6.4

/** What each colour of a drawing stands for, in a line at one of its left corners. */
export function colourKey(
  entries: readonly (readonly [label: string, colour: string])[],
  place: { frameAnchor: 'top-left' | 'bottom-left'; dx?: number; dy: number },
): Plot.Markish[] {
  let dx = place.dx ?? 0
  return entries.map(([label, fill]) => {
    const mark = Plot.text([`■ ${label}`], {
      frameAnchor: place.frameAnchor,
      textAnchor: 'start',
      dx,
      dy: place.dy,
      text: String,
      fill,
      stroke: paper,
      strokeWidth: 3,
      fontWeight: 600,
      pointerEvents: 'none',
    })
    dx += (label.length + 3.5) * letterWidth
    return mark
  })
}
