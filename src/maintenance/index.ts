/** What falls due when: counters held against the tasks of the inspection programme. */
export { prepareAhead } from './ahead.ts'
export { prepareBacktest } from './backtest.ts'
export { prepareDue } from './due.ts'
export { maintain } from './findings.ts'
export { PlanProblem } from './plan.ts'
export { schemaSql } from './schema.ts'
export { prepareWhatIf } from './what-if.ts'
