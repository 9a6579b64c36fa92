export { assess } from './assess.ts'
export { prepareDrift } from './drift.ts'
export { schemaSql } from './schema.ts'
export { prepareTraces } from './traces.ts'
