import { type ColumnType, type Kind, kinds, sqlTypes, tableName } from '../kinds/index.ts'

/**
 * `raw`: what arrived, kept for ever as it came. `obs`: one witness's typed claims, made from it.
 * `obs_no` = file_no · 2^32 + line · 16 + rec: stable for ever, and it names its line.
 */
const rawSql = `
CREATE SCHEMA IF NOT EXISTS raw;
CREATE TABLE IF NOT EXISTS raw.file(
  file_no INTEGER PRIMARY KEY, path VARCHAR NOT NULL, sha256 VARCHAR NOT NULL, bytes BIGINT NOT NULL, profile VARCHAR,
  layout_no INTEGER, same_as INTEGER, header_line INTEGER, arrived_at TIMESTAMP NOT NULL, issued_at VARCHAR,
  is_whole BOOLEAN, read INTEGER NOT NULL, accepted INTEGER NOT NULL, duplicate INTEGER NOT NULL,
  superseded INTEGER NOT NULL, quarantined INTEGER NOT NULL, ignored INTEGER NOT NULL, problem VARCHAR);
CREATE TABLE IF NOT EXISTS raw.layout(layout_no INTEGER PRIMARY KEY, header VARCHAR[] NOT NULL);
CREATE TABLE IF NOT EXISTS raw.profile(profile VARCHAR, revision INTEGER, sha256 VARCHAR, spec VARCHAR, kept_at TIMESTAMP);
CREATE TABLE IF NOT EXISTS raw.amendment(
  amendment_no INTEGER PRIMARY KEY, made_at TIMESTAMP NOT NULL, made_by VARCHAR NOT NULL, reason VARCHAR NOT NULL,
  action VARCHAR NOT NULL, payload JSON NOT NULL, undone_by INTEGER);
CREATE TABLE IF NOT EXISTS raw.landing(file_no INTEGER, layout_no INTEGER);
CREATE TABLE IF NOT EXISTS raw.setting(name VARCHAR PRIMARY KEY, value VARCHAR NOT NULL);
CREATE TABLE IF NOT EXISTS raw.closed_season(
  season VARCHAR, first_day DATE, last_day DATE, closed_at TIMESTAMP, closed_by VARCHAR, manifest VARCHAR,
  after_file INTEGER, until_file INTEGER, reopened_at TIMESTAMP, reopened_by VARCHAR, reopened_why VARCHAR);
`

const obsSql = `
CREATE SCHEMA IF NOT EXISTS obs;
CREATE TABLE IF NOT EXISTS obs.quarantine(
  file_no INTEGER, line INTEGER, rec SMALLINT, profile VARCHAR, kind VARCHAR, field VARCHAR, text VARCHAR, reason VARCHAR,
  raw_hash UBIGINT, occ INTEGER, is_repeat BOOLEAN);
CREATE TABLE IF NOT EXISTS obs.corrected(file_no INTEGER, line INTEGER, by_file INTEGER, by_amendment INTEGER, checked_to INTEGER);
CREATE VIEW IF NOT EXISTS obs.waiting AS SELECT * FROM obs.quarantine q WHERE NOT coalesce(is_repeat, false)
  AND NOT EXISTS (SELECT 1 FROM obs.corrected c WHERE c.file_no = q.file_no AND c.line = q.line
    AND (c.by_file IS NOT NULL OR c.by_amendment IS NOT NULL));
CREATE TABLE IF NOT EXISTS obs.reference(kind VARCHAR, text VARCHAR, target VARCHAR, how VARCHAR, score DOUBLE, suggestion VARCHAR);
CREATE TABLE IF NOT EXISTS obs.pending(aircraft VARCHAR, first_at TIMESTAMP, last_at TIMESTAMP, kind VARCHAR);
CREATE TABLE IF NOT EXISTS obs.registry_changed(kind VARCHAR);
CREATE TABLE IF NOT EXISTS obs.key_zone(zone VARCHAR);
CREATE TABLE IF NOT EXISTS obs.finding(
  finding_id VARCHAR, finding VARCHAR, severity VARCHAR, subject VARCHAR, happened_at TIMESTAMP, message VARCHAR,
  evidence VARCHAR[], aircraft VARCHAR, tank VARCHAR);
`

/** Columns that every table of observations begins with. */
export const observationColumns = [
  ['obs_no', 'BIGINT'],
  ['file_no', 'INTEGER'],
  ['line_no', 'INTEGER'],
  ['rec', 'SMALLINT'],
  ['profile', 'VARCHAR'],
  ['witness', 'VARCHAR'],
  ['source', 'VARCHAR'],
  ['aircraft_text', 'VARCHAR'],
  ['flags', 'VARCHAR[]'],
  ['ident', 'UBIGINT'],
  ['occ', 'INTEGER'],
  ['key_hash', 'UBIGINT'],
  ['is_keyed', 'BOOLEAN'],
  ['fate', 'VARCHAR'],
  ['replaced_by', 'BIGINT'],
] as const

/** Columns of every table of observations that say the same few words over and over. */
const fewWords: ReadonlySet<string> = new Set(['profile', 'witness', 'source', 'aircraft_text', 'fate'])
const fewWordTypes: ReadonlySet<ColumnType> = new Set(['choice', 'reference'])

/** Left alone, the database tries every compression on every column that it writes; texts are the dearest to try. */
function stored(name: string, type: string, isFewWords: boolean): string {
  return `${name} ${type}${isFewWords ? ' USING COMPRESSION dictionary' : ''}`
}

function observationTable(kind: Kind): string {
  const meta = observationColumns.map(([name, type]) => stored(name, type, fewWords.has(name)))
  const own = kind.columns
    .filter((column) => column.name !== 'witness')
    .map((column) => stored(`"${column.name}"`, sqlTypes[column.type], fewWordTypes.has(column.type)))
  return `CREATE TABLE IF NOT EXISTS obs.${tableName(kind.name)}(${[...meta, ...own].join(', ')});`
}

export const schemaSql: string = [rawSql, obsSql, ...kinds.map(observationTable)].join('\n')
