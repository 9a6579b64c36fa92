import { quantileSorted } from '../statistics/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import type { Forecast } from './forecast.ts'

/** Days from one point of the fan to the next. */
const STEP_DAYS = 4

/**
 * Replaces the rows of `asked.due_ahead` by those of the tasks in `asked.due` that come next: the use of each counter (and door)
 * that 10, 50 and 90 % of the futures have made by each coming day.
 */
export async function writeAhead(warehouse: Warehouse, forecast: Forecast): Promise<void> {
  await warehouse.run('DELETE FROM asked.due_ahead')
  await append(warehouse, forecast, await counters(warehouse, null))
}

/** Adds what the tasks of an item need, where it is not there yet; the forecast is made when it is needed. */
export async function addAhead(
  warehouse: Warehouse,
  item: string,
  forecast: () => Promise<Forecast>,
): Promise<void> {
  const owners = await counters(warehouse, item)
  if (owners.length > 0) await append(warehouse, await forecast(), owners)
}

interface Owner {
  tank: string
  counter: string
  door: string | null
}

/** The counters that have no rows yet. */
async function counters(warehouse: Warehouse, item: string | null): Promise<Owner[]> {
  const wanted = await warehouse.readStage('maintenance/ahead-counters')
  return (await warehouse.rows(wanted, { item })) as unknown as Owner[]
}

async function append(warehouse: Warehouse, forecast: Forecast, owners: readonly Owner[]): Promise<void> {
  const points: Point[] = owners.flatMap((owner) => spread(forecast, owner))
  const of = <T>(pick: (point: Point) => T): T[] => points.map(pick)
  await warehouse.append('asked.due_ahead', {
    tank: of((point) => point.tank),
    counter: of((point) => point.counter),
    door: of((point) => point.door),
    day: of((point) => point.day),
    used_p10: of((point) => point.used[0]),
    used_p50: of((point) => point.used[1]),
    used_p90: of((point) => point.used[2]),
  })
}

interface Point extends Owner {
  day: number
  used: [number, number, number]
}

/** Use by each coming day, as three quantiles over the futures. */
function spread(forecast: Forecast, owner: Owner): Point[] {
  const course = forecast.course(owner.tank, owner.counter, owner.door)
  const points: Point[] = []
  for (let ahead = 0; course && ahead < course.horizon; ahead += STEP_DAYS) {
    const uses = course.usesBy(ahead)
    const at = (share: number): number => quantileSorted(uses, share)!
    points.push({ ...owner, day: course.from + ahead, used: [at(0.1), at(0.5), at(0.9)] })
  }
  return points
}
