import type { Warehouse } from '../warehouse/index.ts'
import type { BlockClock } from './clock-groups.ts'
import type { Offset } from './clock-offsets.ts'
import { idLetter } from './fields.ts'
import { eventKinds } from './observations.ts'
import type { Outcome } from './outcome.ts'
import { resolveSql, witnessSetsSql } from './resolve.ts'

export async function clearLedger(warehouse: Warehouse): Promise<void> {
  await warehouse.run(
    [...eventKinds, 'attestation', 'clock', 'finding']
      .map((table) => `DELETE FROM ledger.${table};`)
      .join(' '),
  )
}

const letterSql = `CASE kind ${eventKinds.map((kind) => `WHEN '${kind}' THEN '${idLetter[kind]}'`).join(' ')} END`

/** Writes events and links through the working tables `match_event` and `match_link`. */
export async function writeLedger(warehouse: Warehouse, outcome: Outcome): Promise<void> {
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE match_link(event INTEGER, kind VARCHAR, obs_no BIGINT, offset_ms BIGINT, role VARCHAR,
      place SMALLINT, score DOUBLE, apart_min DOUBLE, own_gal DOUBLE, peer_gal DOUBLE, is_amended BOOLEAN);
    CREATE OR REPLACE TEMP TABLE match_dated(event INTEGER, kind VARCHAR, aircraft_number INTEGER, second BIGINT,
      turn INTEGER, segment_second BIGINT, members INTEGER, is_excluded BOOLEAN);
    ${witnessSetsSql};`)
  await warehouse.append('temp.match_link', outcome.link)
  await warehouse.append('temp.match_dated', outcome.event)
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE match_event AS
    SELECT d.event, d.kind, a.aircraft, d.members, d.is_excluded,
      ${letterSql} || '-' || a.aircraft || '-' || strftime(make_timestamp(d.second * 1000000), '%Y%m%dT%H%M%SZ')
        || CASE WHEN d.turn > 1 THEN '-' || d.turn ELSE '' END AS id,
      a.aircraft || '-' || strftime(make_timestamp(d.segment_second * 1000000), '%Y%m%dT%H%M%SZ') AS segment
    FROM match_dated d JOIN match_aircraft_all a ON a.number = d.aircraft_number;
    ${eventKinds.map(resolveSql).join('\n')}
    INSERT INTO ledger.attestation
    SELECT l.kind, e.id, l.obs_no, o.witness, o.source, l.offset_ms / 60000, l.role, l.place, l.score, l.apart_min,
      l.own_gal, l.peer_gal, l.is_amended
    FROM match_link l JOIN match_event e ON e.event = l.event
    JOIN (${eventKinds.map((kind) => `SELECT obs_no, witness, source FROM told_${kind}`).join(' UNION ALL ')}) o
      ON o.obs_no = l.obs_no
    ORDER BY e.aircraft, e.id, l.place;`)
  await warehouse.run(await warehouse.readStage('matching/findings'))
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
    offset_s: offsets.map((offset) => offset.offset),
    pairs: clocks.map((clock) => clock.pairs),
    basis: offsets.map((offset) => offset.basis),
    spread_s: clocks.map((clock) => clock.spread),
    start_s: clocks.map((clock) => clock.block.start),
    end_s: clocks.map((clock) => clock.block.end),
  })
  await warehouse.run(await warehouse.readStage('matching/clocks'))
}
