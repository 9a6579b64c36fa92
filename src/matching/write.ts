import { rowsOfFile } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { bases } from './clock-offsets.ts'
import type { ClockColumn } from './clock-rows.ts'
import type { Filled } from './growing.ts'
import { eventKinds } from './observations.ts'
import { type Linked, roles } from './outcome.ts'
import { nearSql, type Reach } from './reach.ts'
import { idSql, resolveSql, witnessSetsSql } from './resolve.ts'

export async function clearLedger(warehouse: Warehouse): Promise<void> {
  await warehouse.run(
    [...eventKinds, 'attestation', 'clock', 'finding', 'disputed_fire']
      .map((table) => `DELETE FROM ledger.${table};`)
      .join(' '),
  )
}

const names = (texts: readonly string[]): string => `[${texts.map((text) => `'${text}'`).join(', ')}]`

/**
 * Writes events and links, and notes in `match_disputed` on what witnesses disagree.
 * @param part number of this outcome among those of a run
 */
export async function writeLedger(warehouse: Warehouse, outcome: Linked, part = 0): Promise<void> {
  const numbers = { link: outcome.link.columns, event: outcome.event.columns }
  const { kind_no, disagreements } = numbers.event
  await warehouse.giving(numbers, async () => {
    for (const [number, kind] of eventKinds.entries())
      if (kind_no.includes(number)) await warehouse.run(resolveSql(kind, outcome.fetched[number]!))
    if (kind_no.length > 0) await warehouse.run(attestationSql)
    if (disagreements.some((bits) => bits !== 0)) await noteDisputed(warehouse, part)
  })
}

const attestationSql = `INSERT INTO ledger.attestation
  SELECT ${names(eventKinds)}[l.kind_no + 1], e.id, l.obs_no::BIGINT, s.witness, s.source, l.offset_ms / 60000,
    ${names(roles)}[l.role_no + 1], l.place, l.score, l.apart_min, l.own_gal, l.peer_gal, e.is_amended,
    e.aircraft, e.attested_by
  FROM given_numbers('link') l
  JOIN (SELECT n.event, ${idSql} AS id, n.is_amended = 1 AS is_amended, a.aircraft,
      n.attested_by
    FROM given_numbers('event') n JOIN match_aircraft a ON a.number = n.aircraft) e ON e.event = l.event
  JOIN match_source s ON s.number = l.source`

/** What every outcome is written with. */
export async function prepareWriting(warehouse: Warehouse): Promise<void> {
  await warehouse.run(`${witnessSetsSql};
    CREATE OR REPLACE TEMP TABLE match_disputed(part INTEGER, event INTEGER, id VARCHAR, aircraft VARCHAR,
      disagreements TINYINT, obs_no BIGINT, file_no BIGINT, place SMALLINT, role VARCHAR)`)
}

/** The few are taken out first: what a planner does not know to be few, it would join as many. */
async function noteDisputed(warehouse: Warehouse, part: number): Promise<void> {
  await warehouse.run(`INSERT INTO match_disputed
    SELECT ${part}, l.event, e.id, e.aircraft, e.disagreements, l.obs_no::BIGINT, l.obs_no::BIGINT // ${rowsOfFile},
      l.place, ${names(roles)}[l.role_no + 1]
    FROM given_numbers('link') l JOIN (SELECT n.event, n.disagreements, a.aircraft, ${idSql} AS id
      FROM (FROM given_numbers('event') WHERE disagreements > 0) n JOIN match_aircraft a ON a.number = n.aircraft) e
      ON e.event = l.event`)
}

/** Says what witnesses disagree on, once all events are written. */
export async function writeFindings(warehouse: Warehouse): Promise<void> {
  await warehouse.run(await warehouse.readStage('matching/findings'))
}

/** Makes a working table of these rows. */
async function appendNumbers<Name extends string>(
  warehouse: Warehouse,
  table: string,
  parts: readonly [Filled<Name>, ...Filled<Name>[]],
): Promise<void> {
  const list = Object.entries(parts[0].types).map(([name, type]) => `${name} ${type}`)
  await warehouse.run(`CREATE OR REPLACE TEMP TABLE ${table}(${list.join(', ')})`)
  for (const part of parts) await warehouse.append(`temp.${table}`, part.columns)
}

/** Takes out the clocks that are judged anew, with their findings. */
export async function removeClocks(
  warehouse: Warehouse,
  reached: ReadonlyMap<string, readonly Reach[]>,
): Promise<void> {
  const near = nearSql(reached, 'clock', 'started_at', 'ended_at')
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE match_old_clock AS
      SELECT DISTINCT c.aircraft, c.source, c.base, c.started_at FROM (FROM ledger.clock WHERE ${near}) c
      JOIN match_range r ON r.aircraft = c.aircraft AND c.started_at <= r.clock_to AND c.ended_at >= r.clock_from;
    DELETE FROM ledger.finding WHERE finding = 'clock-offset' AND (aircraft, subject, happened_at) IN
      (SELECT (aircraft, aircraft || ' ' || ledger.clock_name(source, base), started_at) FROM match_old_clock);
    DELETE FROM ledger.clock WHERE ${near} AND (aircraft, source, base, started_at) IN
      (SELECT (aircraft, source, base, started_at) FROM match_old_clock);`)
}

const working = [
  'disputed',
  'clock_number',
  'old',
  'old_clock',
  'dirty',
  'clock_name',
  'near_clock',
  'range',
  'witnesses',
  'source',
  'aircraft',
  'fire',
]

export async function dropWorkingTables(warehouse: Warehouse): Promise<void> {
  const views = ['match_clock', ...eventKinds.map((kind) => `told_${kind}`)].map(
    (name) => `DROP VIEW IF EXISTS ${name};`,
  )
  const copies = eventKinds.map(
    (kind) => `DROP TABLE IF EXISTS match_set_${kind}; DROP TABLE IF EXISTS match_near_${kind};`,
  )
  await warehouse.run(
    [...views, ...copies, ...working.map((name) => `DROP TABLE IF EXISTS match_${name};`)].join(' '),
  )
}

/** One row per source, aircraft and block of days that it reported without an idle gap. */
export async function writeClocks(
  warehouse: Warehouse,
  parts: readonly [Filled<ClockColumn>, ...Filled<ClockColumn>[]],
): Promise<void> {
  await appendNumbers(warehouse, 'match_clock_number', parts)
  await warehouse.run(`CREATE OR REPLACE TEMP VIEW match_clock AS
    SELECT n.* REPLACE (n.is_open = 1 AS is_open, n.own_is_strong = 1 AS own_is_strong), ${names(bases)}[n.basis_no + 1] AS basis
    FROM match_clock_number n`)
  await warehouse.run(await warehouse.readStage('matching/clocks'))
}
