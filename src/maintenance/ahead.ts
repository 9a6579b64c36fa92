import { quantile, type UsagePaths } from '../statistics/index.ts'
import type { Params, Warehouse } from '../warehouse/index.ts'
import { dueList, dueOptions } from './due.ts'
import { courseName } from './history.ts'
import { writeDue } from './write-due.ts'

/** Days from one point of the fan to the next. */
const STEP_DAYS = 4

/**
 * Fills `asked.due_ahead`, beside `asked.due`, for `as_of`, `tank` and `seed`; what `needs: ahead` names. For every counter (and
 * door) that a limit governs by, the use that 10, 50 and 90 % of the futures have made by each coming day.
 */
export async function prepareAhead(warehouse: Warehouse, params: Params): Promise<void> {
  const list = await dueList(warehouse, dueOptions(params))
  await writeDue(warehouse, list)
  const points: Point[] = []
  const seen = new Set<string>()
  for (const { limit, governs, standing } of list.rows) {
    if (!governs || standing === null || standing.dueDay !== null) continue
    const door = limit.counter === 'door-cycles' ? limit.position : null
    const key = `${limit.tank} ${courseName(limit.counter, door)}`
    if (seen.has(key)) continue
    seen.add(key)
    const paths = list.forecast.paths(limit.tank, limit.counter, limit.position)
    if (paths) points.push(...spread(paths, { tank: limit.tank, counter: limit.counter, door }))
  }
  const of = <T>(pick: (point: Point) => T): T[] => points.map(pick)
  await warehouse.transaction(async () => {
    await warehouse.run('DELETE FROM asked.due_ahead')
    await warehouse.append('asked.due_ahead', {
      tank: of((point) => point.tank),
      counter: of((point) => point.counter),
      door: of((point) => point.door),
      day: of((point) => point.day),
      used_p10: of((point) => point.used[0]),
      used_p50: of((point) => point.used[1]),
      used_p90: of((point) => point.used[2]),
    })
  })
}

interface Owner {
  tank: string
  counter: string
  door: string | null
}
interface Point extends Owner {
  day: number
  used: [number, number, number]
}

/** Use by each coming day, as three quantiles over the futures. */
export function spread({ paths, horizon, from, cumulative }: UsagePaths, owner: Owner): Point[] {
  const points: Point[] = []
  for (let ahead = 0; ahead < horizon; ahead += STEP_DAYS) {
    const used = Array.from({ length: paths }, (_, path) => cumulative[path * horizon + ahead]!)
    const at = (share: number): number => quantile(used, share)!
    points.push({ ...owner, day: from + ahead, used: [at(0.1), at(0.5), at(0.9)] })
  }
  return points
}
