/** The reports, without what makes them: help, completion and the server need no more. */
export const reportKinds = [
  'season',
  'maintenance',
  'contract',
  'statement',
  'work-list',
  'conversion',
] as const
export type ReportKind = (typeof reportKinds)[number]
