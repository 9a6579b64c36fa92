/**
 * Colours as page variables with the printed value behind them, so that the same drawing serves a light page,
 * a dark page and a report on paper. Hues are told apart by people who confuse red and green; nothing rests on hue alone.
 */
export const ink = 'var(--ink, #20242b)'
export const muted = 'var(--muted, #5d5a50)'
export const rule = 'var(--rule, #cdc4ae)'
export const paper = 'var(--paper, #fbf8f0)'
export const oxide = 'var(--oxide, #9c3a1a)'
export const blue = 'var(--blue, #1d5a8c)'
export const ochre = 'var(--ochre, #9a6a00)'
export const violet = 'var(--violet, #7c5aa0)'
export const slate = 'var(--slate, #7d7a70)'

export const fluidColours: Readonly<Record<string, string>> = {
  retardant: oxide,
  water: blue,
  gel: ochre,
  foam: violet,
}

/** Lines of one chart, most important first; beyond these a line is grey and named in the table. */
export const lineColours: readonly string[] = [oxide, blue, ochre, violet, ink, 'var(--teal, #1f7a78)']

/** Five steps from little to much. */
export const ramp: readonly string[] = [
  'var(--ramp-1, #f0dcc2)',
  'var(--ramp-2, #e3b68d)',
  'var(--ramp-3, #d08b5b)',
  'var(--ramp-4, #b35c33)',
  'var(--ramp-5, #85300f)',
]

/** Ink that reads on each step of `ramp`. */
export const rampInk: readonly string[] = [
  'var(--ramp-ink-1, #20242b)',
  'var(--ramp-ink-2, #20242b)',
  'var(--ramp-ink-3, #20242b)',
  'var(--ramp-ink-4, #ffffff)',
  'var(--ramp-ink-5, #ffffff)',
]
