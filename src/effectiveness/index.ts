export { prepareDrift } from './drift.ts'
export { schemaSql } from './schema.ts'
