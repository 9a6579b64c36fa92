import type { Warehouse } from '../warehouse/index.ts'
import type { DueRow } from './due-row.ts'

/** Replaces the rows of `asked.due` by a due list. */
export async function writeDue(
  warehouse: Warehouse,
  { asOf, seed, rows }: { asOf: number; seed: number; rows: readonly DueRow[] },
): Promise<void> {
  const through = await countedThrough(warehouse)
  const of = <T>(pick: (row: DueRow) => T): T[] => rows.map(pick)
  const shape = (row: DueRow) => row.standing
  await warehouse.transaction(async () => {
    await warehouse.run('DELETE FROM asked.due')
    await warehouse.append('asked.due', {
      as_of: of(() => asOf),
      seed: of(() => seed),
      limit_no: of((row) => row.limit.limitNo),
      task: of((row) => row.limit.task),
      title: of((row) => row.limit.title),
      item: of((row) => row.limit.item),
      kind: of((row) => row.limit.kind),
      tank: of((row) => row.limit.tank),
      position: of((row) => row.limit.position),
      counter: of((row) => row.limit.counter),
      limit_at: of((row) => shape(row)?.limitAt ?? null),
      total: of((row) => shape(row)?.total ?? (row.limit.isBeforeBaseline ? null : row.limit.total)),
      remaining: of((row) => row.remaining),
      due_on_p10: of((row) => row.days[0]),
      due_on_p50: of((row) => row.days[1]),
      due_on_p90: of((row) => row.days[2]),
      status: of((row) => row.status),
      governs: of((row) => row.governs),
      since_last: of((row) => row.sinceLast),
      counted_through: of((row) => through.get(row.limit.tank) ?? null),
      reason: of((row) => row.reason),
      tolerance_at: of((row) => (row.standing ? row.standing.limitAt + row.standing.tolerance : null)),
      window_from: of((row) => shape(row)?.windowFrom ?? null),
      horizon: of((row) => row.horizon),
      last_done_on: of((row) => row.lastDay),
      is_life_limit: of((row) => row.limit.isLifeLimit),
      triggered_by: of((row) => row.limit.triggeredBy),
      trigger_evidence: of((row) => row.limit.trigger?.evidence ?? null),
      limit_before_extension: of((row) => shape(row)?.limitBefore ?? null),
      extension: of((row) =>
        shape(row)?.limitBefore === null || !row.standing ? null : row.limit.authority,
      ),
      forecast_basis: of((row) => row.forecastBasis),
    })
  })
}

async function countedThrough(warehouse: Warehouse): Promise<Map<string, number>> {
  const read = await warehouse.columns(await warehouse.readStage('maintenance/counted-through'))
  const tanks = read.text('tank') as string[]
  const days = read.numbers('day')
  return new Map(tanks.map((tank, row) => [tank, days[row]!]))
}
