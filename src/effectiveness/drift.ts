import { type DriftAlarm, driftChart } from '../statistics/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { writeAdjustments } from './adjustments.ts'
import { type ChartedRun, readRuns } from './runs.ts'

/**
 * Brings `effectiveness.control_point`, `drift_alarm` and `adjustment` up to date: charts over the whole record of each tank whose settings
 * or adjustments changed. What a question shows of them is chosen afterwards.
 */
export async function chartDrift(warehouse: Warehouse): Promise<void> {
  await warehouse.run(await warehouse.readStage('effectiveness/settings'))
  const charted = (await readRuns(warehouse)).map((run) => ({ run, chart: driftChart(run.error_pct) }))
  for (const table of ['control_point', 'drift_alarm', 'adjustment'])
    await warehouse.run(`DELETE FROM effectiveness.${table} WHERE tank IN (SELECT tank FROM changed_tank)`)
  await warehouse.append('effectiveness.control_point', pointColumns(charted))
  await warehouse.append(
    'effectiveness.drift_alarm',
    alarmColumns(charted.flatMap((one) => (one.chart.alarm ? [{ ...one, alarm: one.chart.alarm }] : []))),
  )
  await writeAdjustments(warehouse, charted)
  await warehouse.run(await warehouse.readStage('effectiveness/settings-done'))
}

function pointColumns(charted: readonly ChartedRun[]): Record<string, (string | number | boolean | null)[]> {
  const each = <T>(of: (one: ChartedRun, index: number) => T): T[] =>
    charted.flatMap((one) => one.run.drop.map((_, index) => of(one, index)))
  const shown = ({ chart }: ChartedRun) => (chart.alarm?.chart === 'slow' ? chart.slow : chart.quick)
  return {
    tank: each(({ run }) => run.tank),
    run: each(({ run }) => run.run),
    run_started_at: each(({ run }) => run.started_ms),
    drop: each(({ run }, index) => run.drop[index]!),
    dropped_at: each(({ run }, index) => run.dropped_ms[index]!),
    operating_day: each(({ run }, index) => run.day[index]!),
    season: each(({ run }, index) => run.season[index]!),
    aircraft: each(({ run }, index) => run.aircraft[index]!),
    error_pct: each(({ run }, index) => run.error_pct[index]!),
    ewma_pct: each((one, index) => shown(one).ewma[index]!),
    upper_pct: each((one, index) => shown(one).upper[index]!),
    lower_pct: each((one, index) => shown(one).lower[index]!),
    slow_ewma_pct: each(({ chart }, index) => chart.slow.ewma[index]!),
    slow_upper_pct: each(({ chart }, index) => chart.slow.upper[index]!),
    slow_lower_pct: each(({ chart }, index) => chart.slow.lower[index]!),
    center_pct: each(({ chart }) => chart.center),
    is_alarm: each(({ chart }, index) => chart.alarm?.index === index),
  }
}

type Alarmed = ChartedRun & { alarm: DriftAlarm }

function alarmColumns(alarmed: readonly Alarmed[]): Record<string, (string | number | null)[]> {
  const each = <T>(of: (one: Alarmed) => T): T[] => alarmed.map(of)
  const series = ({ chart, alarm }: Alarmed) => chart[alarm.chart]
  return {
    tank: each(({ run }) => run.tank),
    run: each(({ run }) => run.run),
    from_at: each(({ run, alarm }) => run.dropped_ms[alarm.runStart]!),
    from_drop: each(({ run, alarm }) => run.drop[alarm.runStart]!),
    ewma_pct: each((one) => series(one).ewma[one.alarm.index]!),
    limit_pct: each(
      (one) => series(one)[one.alarm.direction === 'high' ? 'upper' : 'lower'][one.alarm.index]!,
    ),
    center_pct: each(({ chart }) => chart.center),
    sd_pct: each(({ chart }) => chart.sd),
    stable_drops: each(({ chart }) => chart.stableCount),
    direction: each(({ alarm }) => alarm.direction),
    chart: each(({ alarm }) => alarm.chart),
    alarm_at: each(({ run, alarm }) => run.dropped_ms[alarm.index]!),
    alarm_drop: each(({ run, alarm }) => run.drop[alarm.index]!),
    operating_day: each(({ run, alarm }) => run.day[alarm.index]!),
    season: each(({ run, alarm }) => run.season[alarm.index]!),
    shape: each(({ alarm }) => alarm.change.shape),
    change_drop: each(({ run, alarm }) => run.drop[alarm.change.index]!),
    change_at: each(({ run, alarm }) => run.dropped_ms[alarm.change.index]!),
    change_low_drop: each(({ run, alarm }) => run.drop[alarm.change.low]!),
    change_low_at: each(({ run, alarm }) => run.dropped_ms[alarm.change.low]!),
    change_high_drop: each(({ run, alarm }) => run.drop[alarm.change.high]!),
    change_high_at: each(({ run, alarm }) => run.dropped_ms[alarm.change.high]!),
    adjusted_at: each(({ run }) => run.ended_ms),
    aircraft: each(({ run, alarm }) => run.aircraft[alarm.index]!),
  }
}
