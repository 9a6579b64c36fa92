import type { Warehouse } from '../warehouse/index.ts'
import { fitRelease, type Release } from './release-fit.ts'
import { matchTraces } from './trace-match.ts'

/**
 * Fills `asked.trace` with the figures of every trace and `asked.trace_drop` with the drop that each belongs to.
 * The figures rest on the samples alone and are kept until those change.
 */
export async function prepareTraces(warehouse: Warehouse): Promise<void> {
  const mark = await warehouse.value<string>(
    `SELECT concat_ws(' ', 1, count(*), bit_xor(hash(obs_no))) FROM obs.trace WHERE fate = 'accepted'`,
  )
  const kept = await warehouse.value<string>(`SELECT mark FROM asked.mark WHERE name = 'traces'`)
  await warehouse.transaction(async () => {
    if (kept !== mark) {
      await readTraces(warehouse)
      await warehouse.run(`DELETE FROM asked.mark WHERE name = 'traces'`)
      await warehouse.run(`INSERT INTO asked.mark VALUES ('traces', $mark)`, { mark })
    }
    await matchTraces(warehouse)
  })
}

const numbers = [
  'trace',
  'last_obs_no',
  'samples',
  'hz',
  'groundspeed_kt',
  'height_ft',
  'door_open_s',
  'door_full_s',
  'door_peak_pct',
]

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

async function readTraces(warehouse: Warehouse): Promise<void> {
  await warehouse.run(await warehouse.readStage('effectiveness/trace-parts'))
  const parts = await warehouse.columns('SELECT * FROM trace_part ORDER BY trace')
  const samples = await warehouse.columns(
    'SELECT t_s, level_gal FROM trace_sample ORDER BY trace, t_s, obs_no',
  )
  await warehouse.run('DROP TABLE trace_sample; DROP TABLE trace_part')
  const counts = parts.numbers('samples')
  const times = samples.numbers('t_s')
  const levels = samples.numbers('level_gal')
  const releases: (Release | null)[] = []
  let from = 0
  for (const count of counts) {
    releases.push(fitRelease(times.subarray(from, from + count), levels.subarray(from, from + count)))
    from += count
  }
  await warehouse.run('DELETE FROM asked.trace')
  await warehouse.append('asked.trace', {
    ...Object.fromEntries(numbers.map((name) => [name, parts.numbers(name)])),
    aircraft: parts.text('aircraft'),
    record: parts.text('record'),
    status: releases.map((one) => (one === null ? 'no release' : 'read')),
    ...Object.fromEntries(
      Object.entries(figures).map(([name, of]) => [
        name,
        releases.map((one) => (one === null ? null : of(one))),
      ]),
    ),
  })
}
