import type { ServerDeps } from './deps.ts'

/** The day on which an answer is given, `YYYY-MM-DD`: some answers are about today. */
export const todayOf = (deps: ServerDeps): string => deps.today?.() ?? new Date().toISOString().slice(0, 10)
