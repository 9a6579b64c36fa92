/** What `amend` may do. */
export const amendments = ['set', 'exclude', 'merge', 'split', 'finding', 'line', 'reopen', 'undo'] as const
