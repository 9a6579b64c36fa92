import type { Warehouse } from '../warehouse/index.ts'
import { fitRelease, type Release } from './release-fit.ts'
import { matchTraces } from './trace-match.ts'
import { cutTraces } from './trace-parts.ts'

/**
 * Fills `effectiveness.trace` with the figures of every trace and `effectiveness.trace_drop` with the drop that each belongs to.
 * The figures rest on the samples alone and are kept until those change.
 */
export async function readTraces(warehouse: Warehouse): Promise<void> {
  const mark = await warehouse.value<string>(
    `SELECT concat_ws(' ', 1, count(*), bit_xor(hash(obs_no, aircraft, record, t_s, level_gal, groundspeed_kt, height_ft, door_pct))) FROM obs.trace WHERE fate = 'accepted'`,
  )
  const kept = await warehouse.value<string>(`SELECT mark FROM effectiveness.mark WHERE name = 'traces'`)
  await warehouse.transaction(async () => {
    if (kept !== mark) {
      await fitTraces(warehouse)
      await warehouse.run(`DELETE FROM effectiveness.mark WHERE name = 'traces'`)
      await warehouse.run(`INSERT INTO effectiveness.mark VALUES ('traces', $mark)`, { mark })
    }
    await matchTraces(warehouse)
  })
}

/**
 * Finds again which drop each trace of the aircraft in scope belongs to, where their drops changed and no trace did.
 * @returns the tanks of drops that have a trace now and had not, or the other way, or another.
 */
export async function matchAgain(warehouse: Warehouse): Promise<string[]> {
  const pairs = `SELECT m.trace, m."drop" FROM effectiveness.trace_drop m
    JOIN effectiveness.trace t ON t.trace = m.trace WHERE is_told_aircraft(t.aircraft)`
  await warehouse.run(`CREATE OR REPLACE TEMP TABLE pair_before AS ${pairs}`)
  await matchTraces(warehouse)
  await warehouse.run(`CREATE OR REPLACE TEMP TABLE pair_now AS ${pairs}`)
  const rows = await warehouse.rows<{ tank: string }>(
    `SELECT DISTINCT tank FROM account."drop" WHERE tank IS NOT NULL AND "drop" IN (
       SELECT "drop" FROM (FROM pair_before EXCEPT FROM pair_now) UNION SELECT "drop" FROM (FROM pair_now EXCEPT FROM pair_before))
     ORDER BY tank`,
  )
  return rows.map((row) => row.tank)
}

const besides = ['groundspeed_kt', 'height_ft', 'door_open_s', 'door_full_s', 'door_peak_pct'] as const

const figures: Readonly<Record<string, (release: Release) => number | boolean>> = {
  starts_s: (one) => one.starts_s,
  ends_s: (one) => one.ends_s,
  evacuation_se_s: (one) => one.length_se_s,
  level_before_gal: (one) => one.level_before_gal,
  volume_gal: (one) => one.volume_gal,
  volume_se_gal: (one) => one.volume_se_gal,
  bend: (one) => one.bend,
  bend_se: (one) => one.bend_se,
  noise_gal: (one) => one.noise_gal,
  is_cut: (one) => one.isCutAtStart || one.isCutAtEnd,
}

async function fitTraces(warehouse: Warehouse): Promise<void> {
  const text = await warehouse.readStage('effectiveness/trace-samples')
  const samples = await warehouse.columns(text)
  const [line, t, level] = [samples.numbers('obs_no'), samples.numbers('t_s'), samples.numbers('level_gal')]
  const parts = cutTraces(samples)
  const releases = parts.map(({ from, to }) => fitRelease(t.subarray(from, to), level.subarray(from, to)))
  await warehouse.run('DELETE FROM effectiveness.trace')
  await warehouse.append('effectiveness.trace', {
    trace: parts.map(({ from }) => line[from]!),
    last_obs_no: parts.map(({ to }) => line[to - 1]!),
    samples: parts.map(({ from, to }) => to - from),
    hz: parts.map(({ from, to }) => (to - from - 1) / (t[to - 1]! - t[from]! || Number.NaN)),
    ...Object.fromEntries(besides.map((name) => [name, parts.map((part) => part[name])])),
    status: releases.map((one) => (one === null ? 'no release' : 'read')),
    ...Object.fromEntries(
      Object.entries(figures).map(([name, of]) => [
        name,
        releases.map((one) => (one === null ? null : of(one))),
      ]),
    ),
  })
  await warehouse.run(
    `UPDATE effectiveness.trace SET aircraft = o.aircraft, record = o.record FROM obs.trace o WHERE o.obs_no = effectiveness.trace.trace AND o.fate = 'accepted'`,
  )
}
