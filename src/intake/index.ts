export { unaccountedSql } from './counts.ts'
export { type IngestEffects, ingest, typeAgain } from './ingest.ts'
export { type FileReport, type IngestReport, totalsOf } from './report.ts'
export { schemaSql } from './schema.ts'
