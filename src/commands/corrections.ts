/** What `amend` may do. */
export const amendments = [
  'set',
  'set-aside',
  'exclude',
  'merge',
  'split',
  'finding',
  'line',
  'reopen',
  'undo',
] as const
