import { meanDifference, meanInterval } from '../statistics/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import type { ChartedRun } from './runs.ts'

interface Adjustment {
  tank: string
  adjusted_ms: number
  subject: string
  before: string | null
  after: string | null
  note: string | null
}

/** Fewer drops than this on either side give a difference, and no verdict. */
const enough = 10

/**
 * Writes `effectiveness.adjustment`: for each adjustment of a changed tank, setting errors before and after it. Before are the drops since the change that
 * the chart found, where it alarmed (those are what was to be put right), else all of the run before; after are all of the next run.
 */
export async function writeAdjustments(warehouse: Warehouse, charted: readonly ChartedRun[]): Promise<void> {
  const rows = (await readAdjustments(warehouse)).map((one) => ({ ...one, ...compare(one, charted) }))
  const names = [
    'tank',
    'subject',
    'before',
    'after',
    'note',
    'run',
    'before_basis',
    'before_from_at',
    'drops_before',
    'drops_after',
    'bias_before_pct',
    'bias_after_pct',
    'sd_before_pct',
    'sd_after_pct',
    'change_pct',
    'low_pct',
    'high_pct',
    'verdict',
  ] as const
  await warehouse.append('effectiveness.adjustment', {
    adjusted_at: rows.map((one) => one.adjusted_ms),
    ...Object.fromEntries(names.map((name) => [name, rows.map((one) => one[name])])),
  })
}

function readAdjustments(warehouse: Warehouse): Promise<Adjustment[]> {
  return warehouse.rows<Adjustment>(
    `SELECT tank, epoch_ms(adjusted_at) AS adjusted_ms, string_agg(subject, '; ' ORDER BY subject) AS subject,
       string_agg("before", '; ' ORDER BY subject) AS "before", string_agg("after", '; ' ORDER BY subject) AS "after",
       string_agg(note, '; ' ORDER BY subject) AS note
     FROM obs.adjustment WHERE fate = 'accepted' AND tank IN (SELECT tank FROM changed_tank)
     GROUP BY tank, adjusted_at ORDER BY tank, adjusted_at`,
  )
}

function compare(one: Adjustment, charted: readonly ChartedRun[]) {
  const earlier = charted.find(({ run }) => run.tank === one.tank && run.ended_ms === one.adjusted_ms)
  const later = charted.find(({ run }) => run.tank === one.tank && run.started_ms === one.adjusted_ms)
  const from = earlier?.chart.alarm?.change.index ?? 0
  const before = earlier?.run.error_pct.subarray(from) ?? new Float64Array()
  const after = later?.run.error_pct ?? new Float64Array()
  const [a, b] = [meanInterval(before), meanInterval(after)]
  const welch = meanDifference(after, before)
  return {
    run: later?.run.run ?? null,
    before_basis: earlier?.chart.alarm
      ? 'since the change'
      : 'since the adjustment before, or the first drop',
    before_from_at: earlier?.run.dropped_ms[from] ?? null,
    drops_before: before.length,
    drops_after: after.length,
    bias_before_pct: a?.mean ?? null,
    bias_after_pct: b?.mean ?? null,
    sd_before_pct: a?.sd ?? null,
    sd_after_pct: b?.sd ?? null,
    change_pct: welch?.difference ?? null,
    low_pct: welch?.low ?? null,
    high_pct: welch?.high ?? null,
    verdict: verdict(a?.mean ?? 0, b?.mean ?? 0, Math.min(before.length, after.length), welch),
  }
}

function verdict(
  before: number,
  after: number,
  fewest: number,
  welch: { low: number | null; high: number | null } | null,
): string {
  if (fewest < enough || !welch || welch.low === null || welch.high === null) return 'too few drops'
  if (welch.low <= 0 && welch.high >= 0) return 'no difference shown'
  return Math.abs(after) < Math.abs(before) ? 'closer to the setting' : 'further from the setting'
}
