/** What falls due when: counters held against the tasks of the inspection programme. */
export { prepareDue } from './due.ts'
export { schemaSql } from './schema.ts'
