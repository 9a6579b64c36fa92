import { twoWayFit } from '../statistics/index.ts'
import type { Warehouse } from '../warehouse/index.ts'

/** Pairs that a bias needs before loads are corrected by it. */
export const leastPairs = 10

export interface MeterBias {
  base: string
  pairs: number
  bias_pct: number
  low_pct: number | null
  high_pct: number | null
  /** What the balance takes off, in steps of 0.5 %; 0 with too few pairs. */
  applied_pct: number
}

/**
 * Fits what each base's meter says against the fleet's gauges, on the log of meter over gauge, robustly.
 * Reads `account.meter_pair`, one row per load that both saw.
 */
export async function fitMeterBias(warehouse: Warehouse): Promise<MeterBias[]> {
  const pairs = await warehouse.columns(
    `WITH base AS (SELECT base, row_number() OVER (ORDER BY base) - 1 AS base_no FROM account.meter_pair GROUP BY base),
     tank AS (SELECT tank, row_number() OVER (ORDER BY tank) - 1 AS tank_no FROM account.meter_pair GROUP BY tank)
     SELECT base_no::DOUBLE AS base_no, tank_no::DOUBLE AS tank_no, log_ratio
     FROM account.meter_pair JOIN base USING (base) JOIN tank USING (tank) ORDER BY 1, 2, 3`,
  )
  if (pairs.count === 0) return []
  const bases = await warehouse.rows<{ base: string }>(
    'SELECT DISTINCT base FROM account.meter_pair ORDER BY base',
  )
  const tanks = await warehouse.value<number>('SELECT count(DISTINCT tank) FROM account.meter_pair')
  const fit = twoWayFit(pairs.numbers('base_no'), pairs.numbers('tank_no'), pairs.numbers('log_ratio'), {
    rows: bases.length,
    columns: tanks ?? 0,
  })
  return bases.flatMap(({ base }, index) => {
    const effect = fit.rows[index]
    if (!effect) return []
    const bias_pct = percent(effect.effect)
    return [
      {
        base,
        pairs: effect.pairs,
        bias_pct,
        low_pct: effect.low === null ? null : percent(effect.low),
        high_pct: effect.high === null ? null : percent(effect.high),
        applied_pct: effect.pairs >= leastPairs ? Math.round(bias_pct * 2) / 2 + 0 : 0,
      },
    ]
  })
}

const percent = (logRatio: number): number => Math.expm1(logRatio) * 100
