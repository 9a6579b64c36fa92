import type { Warehouse } from '../warehouse/index.ts'
import type { BlockClock } from './clock-groups.ts'
import type { Offset } from './clock-offsets.ts'
import { idLetter, timeField } from './fields.ts'
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

/** Writes events and links through the working table `match_event` and the working view `match_link`. */
export async function writeLedger(warehouse: Warehouse, outcome: Outcome): Promise<void> {
  await appendNumbers(warehouse, 'match_link_number', outcome.link)
  await appendNumbers(warehouse, 'match_event_number', outcome.event)
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE match_event AS
    SELECT n.event, a.aircraft, n.witness_bits, n.marks, n.parts_gal, n.tickets_gal, n.is_excluded = 1 AS is_excluded,
      n.is_amended = 1 AS is_amended, n.disagreements,
      ${names(eventKinds.map((kind) => idLetter[kind]))}[n.kind_no + 1] || '-' || a.aircraft || '-'
        || strftime(make_timestamp(n.second::BIGINT * 1000000), '%Y%m%dT%H%M%SZ')
        || CASE WHEN n.turn > 1 THEN '-' || n.turn ELSE '' END AS id,
      a.aircraft || '-' || strftime(make_timestamp(n.segment_second::BIGINT * 1000000), '%Y%m%dT%H%M%SZ') AS segment
    FROM match_event_number n JOIN match_aircraft a ON a.number = n.aircraft;
    CREATE OR REPLACE TEMP VIEW match_link AS
    SELECT n.* REPLACE (n.obs_no::BIGINT AS obs_no), ${names(eventKinds)}[n.kind_no + 1] AS kind,
      ${names(roles)}[n.role_no + 1] AS role
    FROM match_link_number n;
    ${witnessSetsSql};
    ${eventKinds.map(resolveSql).join('\n')}
    INSERT INTO ledger.attestation
    SELECT l.kind, e.id, l.obs_no, s.witness, s.source, l.offset_ms / 60000, l.role, l.place, l.score, l.apart_min,
      l.own_gal, l.peer_gal, e.is_amended
    FROM match_link l JOIN match_event e ON e.event = l.event JOIN match_source s ON s.number = l.source;`)
  await warehouse.run(await warehouse.readStage('matching/findings'))
}

async function appendNumbers<Name extends string>(
  warehouse: Warehouse,
  table: string,
  rows: Growing<Name>,
): Promise<void> {
  const list = Object.entries(rows.types).map(([name, type]) => `${name} ${type}`)
  await warehouse.run(`CREATE OR REPLACE TEMP TABLE ${table}(${list.join(', ')})`)
  await warehouse.append(`temp.${table}`, rows.values())
}

/**
 * Takes out the records that the observations of this outcome attested so far, and those of observations that stand no
 * longer. Returns aircraft whose records reach beyond what was loaded; then nothing was taken out.
 */
export async function removeOld(
  warehouse: Warehouse,
  outcome: Outcome,
  named: readonly number[],
): Promise<string[]> {
  await warehouse.run('CREATE OR REPLACE TEMP TABLE match_now(obs_no DOUBLE)')
  await warehouse.append('temp.match_now', { obs_no: outcome.link.values().obs_no })
  const fallen = eventKinds.map(
    (kind) => `SELECT obs_no FROM obs.${kind} o SEMI JOIN match_range r ON r.aircraft = o.aircraft
      AND o.${timeField[kind]} >= r.load_from AND o.${timeField[kind]} <= r.load_to WHERE fate <> 'accepted'`,
  )
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE match_dirty AS
      SELECT DISTINCT obs_no::BIGINT AS obs_no FROM match_now UNION ${fallen.join(' UNION ')}
      ${named.length > 0 ? `UNION SELECT unnest([${named.join(', ')}]::BIGINT[])` : ''};
    CREATE OR REPLACE TEMP TABLE match_old AS
      SELECT DISTINCT kind, id FROM ledger.attestation SEMI JOIN match_dirty USING (obs_no)`)
  const left = await warehouse.rows<{ aircraft: string }>(
    `WITH beyond AS (SELECT a.obs_no FROM ledger.attestation a SEMI JOIN match_old USING (kind, id)
       WHERE a.obs_no NOT IN (SELECT obs_no FROM match_dirty))
     ${eventKinds.map((kind) => `SELECT aircraft FROM obs.${kind} SEMI JOIN beyond USING (obs_no)`).join(' UNION ')} ORDER BY 1`,
  )
  if (left.length > 0) return left.map((row) => row.aircraft)
  await warehouse.run(`
    ${eventKinds.map((kind) => `DELETE FROM ledger.${kind} WHERE ${kind} IN (SELECT id FROM match_old WHERE kind = '${kind}');`).join('\n')}
    DELETE FROM ledger.finding WHERE subject IN (SELECT kind || ':' || id FROM match_old);
    DELETE FROM ledger.attestation WHERE obs_no IN (SELECT obs_no FROM match_dirty);`)
  return []
}

/** Takes out the clocks that are judged anew, with their findings. */
export async function removeClocks(warehouse: Warehouse): Promise<void> {
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE match_old_clock AS
      SELECT DISTINCT c.aircraft, c.source, c.started_at FROM ledger.clock c JOIN match_range r ON r.aircraft = c.aircraft
        AND c.started_at <= r.clock_to AND c.ended_at >= r.clock_from;
    DELETE FROM ledger.finding WHERE finding = 'clock-offset' AND (aircraft, subject, happened_at) IN
      (SELECT (aircraft, aircraft || ' ' || source, started_at) FROM match_old_clock);
    DELETE FROM ledger.clock WHERE (aircraft, source, started_at) IN
      (SELECT (aircraft, source, started_at) FROM match_old_clock);`)
}

const working = [
  'link_number',
  'disputed',
  'event',
  'event_number',
  'clock',
  'old',
  'old_clock',
  'dirty',
  'now',
  'range',
  'witnesses',
  'source',
  'aircraft',
  'fire',
]

export async function dropWorkingTables(warehouse: Warehouse): Promise<void> {
  const views = ['match_link', ...eventKinds.map((kind) => `told_${kind}`)].map(
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
  clocks: readonly BlockClock[],
  offsets: readonly Offset[],
): Promise<void> {
  await warehouse.run(`CREATE OR REPLACE TEMP TABLE match_clock(source INTEGER, aircraft INTEGER, offset_s DOUBLE,
    pairs INTEGER, basis VARCHAR, spread_s DOUBLE, start_s DOUBLE, end_s DOUBLE, is_open BOOLEAN, own_s DOUBLE,
    is_strong BOOLEAN)`)
  await warehouse.append('temp.match_clock', {
    source: clocks.map((clock) => clock.block.source),
    aircraft: clocks.map((clock) => clock.block.aircraft),
    offset_s: offsets.map((offset) => offset.offset + 0),
    pairs: clocks.map((clock) => clock.pairs),
    basis: offsets.map((offset) => offset.basis),
    spread_s: clocks.map((clock) => clock.spread),
    start_s: clocks.map((clock) => clock.block.start),
    end_s: clocks.map((clock) => clock.block.end),
    is_open: clocks.map((clock) => clock.isOpen),
    own_s: clocks.map((clock) => clock.own),
    is_strong: clocks.map((clock) => clock.isStrong),
  })
  await warehouse.run(await warehouse.readStage('matching/clocks'))
}
