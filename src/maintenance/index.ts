/** What falls due when: counters held against the tasks of the inspection programme. */
export { prepareBacktest } from './backtest.ts'

export { maintain } from './findings.ts'
export { PlanProblem } from './plan.ts'
export { prepareAhead, prepareDue } from './prepare-due.ts'
export { schemaSql } from './schema.ts'
export { prepareWhatIf } from './what-if.ts'
