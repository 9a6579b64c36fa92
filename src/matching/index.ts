export { type MatchScope, match } from './match.ts'
export { schemaSql } from './schema.ts'
