import { fullSchema } from '../../src/commands/schema.ts'
import { assess } from '../../src/effectiveness/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'

/** Releases of 8 s at 20 Hz: 2,000 gal in 4 s from second 2 on, with noise of 1 % of a tank of 3,000 gal and lost samples. */
const fill = `
INSERT INTO obs.trace(obs_no, file_no, line_no, rec, fate, aircraft, record, t_s, level_gal, groundspeed_kt)
SELECT 4294967296 + i * 16, 1, i, 0, 'accepted', 'N80' || (release % 9) || 'ZY', 'R-' || release, t,
  3000 - least(2000, greatest(0, (t - 2) * 500)) + 30 * (hash(i)::DOUBLE / 18446744073709551615 + hash(i + 1000000007)::DOUBLE / 18446744073709551615
    + hash(i + 2000000011)::DOUBLE / 18446744073709551615 - 1.5) * 2, 120
FROM (SELECT i, i // 160 AS release, (i % 160) / 20.0 AS t FROM range($samples::BIGINT) r(i)) WHERE hash(i + 31) % 50 <> 0
`

/**
 * Samples to the figures of their traces, as a ratio to one pass of the database over the same samples: their count, ends and mean by trace.
 * Goal: 1 million in 2 s.
 */
export async function benchTraces(samples: number): Promise<void> {
  const warehouse = await Warehouse.memory(fullSchema)
  const timed = async (work: () => Promise<unknown>): Promise<number> => {
    const started = performance.now()
    await work()
    return (performance.now() - started) / 1000
  }
  try {
    await warehouse.run(fill, { samples })
    const pass = (): Promise<unknown> =>
      warehouse.rows(
        `SELECT aircraft, record, count(*), min(t_s), max(t_s), avg(level_gal), regr_slope(level_gal, t_s) FROM obs.trace GROUP BY ALL`,
      )
    await pass()
    const floor = await timed(pass)
    const first = await timed(() => assess(warehouse))
    await warehouse.run('DELETE FROM effectiveness.mark')
    const again = await timed(() => assess(warehouse))
    const found = await warehouse.rows<{ traces: number; evacuation_s: number; samples: number }>(
      `SELECT count(*)::INTEGER AS traces, median(ends_s - starts_s) AS evacuation_s, sum(samples)::INTEGER AS samples FROM effectiveness.trace`,
    )
    console.log(
      `traces: ${found[0]!.samples} samples of ${found[0]!.traces} traces, median evacuation ${found[0]!.evacuation_s.toFixed(2)} s of 4; ` +
        `one pass ${floor.toFixed(2)} s; figures ${first.toFixed(2)} s, again ${again.toFixed(2)} s, ratio ${(again / floor).toFixed(1)}`,
    )
  } finally {
    await warehouse.close()
  }
}
