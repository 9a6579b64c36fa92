import type { Warehouse } from '../warehouse/index.ts'
import type { BlockClock } from './clock-groups.ts'
import type { Offset } from './clock-offsets.ts'
import { idLetter } from './fields.ts'
import type { Growing } from './growing.ts'
import { eventKinds } from './observations.ts'
import { type Outcome, roles } from './outcome.ts'
import { resolveSql, witnessSetsSql } from './resolve.ts'

export async function clearLedger(warehouse: Warehouse): Promise<void> {
  await warehouse.run(
    [...eventKinds, 'attestation', 'clock', 'finding']
      .map((table) => `DELETE FROM ledger.${table};`)
      .join(' '),
  )
}

const names = (texts: readonly string[]): string => `[${texts.map((text) => `'${text}'`).join(', ')}]`

/** Writes events and links through the working tables `match_event` and `match_link`. */
export async function writeLedger(warehouse: Warehouse, outcome: Outcome): Promise<void> {
  await appendNumbers(warehouse, 'match_link_number', outcome.link)
  await appendNumbers(warehouse, 'match_event_number', outcome.event)
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE match_event AS
    SELECT n.event::INTEGER AS event, ${names(eventKinds)}[n.kind::INTEGER + 1] AS kind, a.aircraft,
      n.is_excluded = 1 AS is_excluded, n.is_amended = 1 AS is_amended, n.disagreements::INTEGER AS disagreements,
      ${names(eventKinds.map((kind) => idLetter[kind]))}[n.kind::INTEGER + 1] || '-' || a.aircraft || '-'
        || strftime(make_timestamp(n.second::BIGINT * 1000000), '%Y%m%dT%H%M%SZ')
        || CASE WHEN n.turn > 1 THEN '-' || n.turn::INTEGER ELSE '' END AS id,
      a.aircraft || '-' || strftime(make_timestamp(n.segment_second::BIGINT * 1000000), '%Y%m%dT%H%M%SZ') AS segment
    FROM match_event_number n JOIN match_aircraft_all a ON a.number = n.aircraft;
    CREATE OR REPLACE TEMP TABLE match_link AS
    SELECT n.event::INTEGER AS event, n.obs_no::BIGINT AS obs_no, n.offset_ms::BIGINT AS offset_ms,
      ${names(roles)}[n.role::INTEGER + 1] AS role, n.place::SMALLINT AS place, n.score, n.apart_min, n.peer_gal
    FROM match_link_number n;
    DROP TABLE match_event_number; DROP TABLE match_link_number;
    ${witnessSetsSql};
    ${eventKinds.map(resolveSql).join('\n')}
    INSERT INTO ledger.attestation
    SELECT e.kind, e.id, l.obs_no, o.witness, o.source, l.offset_ms / 60000, l.role, l.place, l.score, l.apart_min,
      o.gal, l.peer_gal, e.is_amended
    FROM match_link l JOIN match_event e ON e.event = l.event
    JOIN (${eventKinds.map((kind) => `SELECT obs_no, witness, source, ${kind === 'flight' ? 'NULL' : 'volume_gal'} AS gal FROM told_${kind}`).join(' UNION ALL ')}) o
      ON o.obs_no = l.obs_no
    ORDER BY l.event, l.place;`)
  await warehouse.run(await warehouse.readStage('matching/findings'))
}

async function appendNumbers(
  warehouse: Warehouse,
  table: string,
  columns: Readonly<Record<string, Growing>>,
): Promise<void> {
  const entries = Object.entries(columns)
  await warehouse.run(
    `CREATE OR REPLACE TEMP TABLE ${table}(${entries.map(([name]) => `${name} DOUBLE`).join(', ')})`,
  )
  await warehouse.append(
    `temp.${table}`,
    Object.fromEntries(entries.map(([name, column]) => [name, column.values()])),
  )
}

/** One row per source, aircraft and block of days that it reported without an idle gap. */
export async function writeClocks(
  warehouse: Warehouse,
  clocks: readonly BlockClock[],
  offsets: readonly Offset[],
): Promise<void> {
  await warehouse.run(`CREATE OR REPLACE TEMP TABLE match_clock(source INTEGER, aircraft INTEGER, offset_s DOUBLE,
    pairs INTEGER, basis VARCHAR, spread_s DOUBLE, start_s DOUBLE, end_s DOUBLE)`)
  await warehouse.append('temp.match_clock', {
    source: clocks.map((clock) => clock.block.source),
    aircraft: clocks.map((clock) => clock.block.aircraft),
    offset_s: offsets.map((offset) => offset.offset + 0),
    pairs: clocks.map((clock) => clock.pairs),
    basis: offsets.map((offset) => offset.basis),
    spread_s: clocks.map((clock) => clock.spread),
    start_s: clocks.map((clock) => clock.block.start),
    end_s: clocks.map((clock) => clock.block.end),
  })
  await warehouse.run(await warehouse.readStage('matching/clocks'))
}
