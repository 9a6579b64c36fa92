/** The reports, for help and completion, without what makes them. */
export const reportNames = [
  'season',
  'maintenance',
  'contract',
  'statement',
  'work-list',
  'conversion',
] as const
