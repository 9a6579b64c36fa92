import { twoWayFit } from '../statistics/index.ts'
import { quote } from '../values/sql/write.ts'
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
  const bases = await namesIn(warehouse, 'base')
  if (bases.length === 0) return []
  const tanks = await namesIn(warehouse, 'tank')
  const pairs = await warehouse.columns(
    `SELECT ${numbered('base', bases)} AS base_no, ${numbered('tank', tanks)} AS tank_no, log_ratio FROM account.meter_pair`,
  )
  const fit = twoWayFit(pairs.numbers('base_no'), pairs.numbers('tank_no'), pairs.numbers('log_ratio'), {
    rows: bases.length,
    columns: tanks.length,
  })
  return bases.flatMap((base, index) => {
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

async function namesIn(warehouse: Warehouse, column: 'base' | 'tank'): Promise<string[]> {
  const rows = await warehouse.rows<{ name: string }>(
    `SELECT DISTINCT ${column} AS name FROM account.meter_pair ORDER BY name`,
  )
  return rows.map((row) => row.name)
}

/** The number of a name, from 0: names are held as numbers of few values, and each of those is looked up once. */
const numbered = (column: string, names: readonly string[]): string =>
  `list_position([${names.map(quote).join()}], ${column}) - 1`

const percent = (logRatio: number): number => Math.expm1(logRatio) * 100
