import { createHash } from 'node:crypto'
import type { Params, Warehouse } from '../warehouse/index.ts'
import { dayText } from './day.ts'
import { askFor } from './due.ts'
import { readHistory } from './history.ts'
import { HORIZONS, replaySeason } from './replay.ts'

/** More tanks than these are not replayed: as many are drawn by lot, the same for the same fleet. */
const MOST_TANKS = 100

/** Days of use before the first forecast of a season, so that there is something to draw from. */
const LEAD_DAYS = 14

/** Fills `asked.due_backtest` for `season`, `tank`, `as_of`, `every` (days) and `seed`; what `needs: backtest` names. */
export async function prepareBacktest(warehouse: Warehouse, params: Params): Promise<void> {
  const text = (name: string): string | null => (params[name] as string | null | undefined) ?? null
  const tank = text('tank')
  const every = Math.max(1, Math.round(Number(params.every ?? 7)))
  const seed = Number(params.seed ?? 1)
  await askFor(warehouse, text('as_of'), tank)
  const [bounds] = await warehouse.rows<{ season: string; first_day: number; last_day: number }>(
    await warehouse.readStage('maintenance/replay-bounds'),
    { season: text('season') },
  )
  if (bounds) await askFor(warehouse, dayText(bounds.last_day), tank)
  const history = bounds ? await readHistory(warehouse, bounds.last_day) : null
  const units = drawn(
    history?.tanks.map((name, row) => ({ name, row })).filter(({ name }) => tank === null || name === tank) ??
      [],
  )
  const tallies = history
    ? replaySeason(history, {
        firstDay: bounds!.first_day + LEAD_DAYS,
        lastDay: bounds!.last_day,
        every,
        courses: await limitedCourses(warehouse),
        units: units.map(({ row }) => row),
        paths: 200,
        seed,
      })
    : null
  const of = <T>(pick: (days: number) => T): T[] => HORIZONS.map(pick)
  const tally = (days: number) => tallies?.get(days) ?? null
  const share = (sum: number | undefined, days: number): number | null =>
    tally(days)?.forecasts ? sum! / tally(days)!.forecasts : null
  await warehouse.transaction(async () => {
    await warehouse.run('DELETE FROM asked.due_backtest')
    await warehouse.append('asked.due_backtest', {
      horizon_days: of((days) => days),
      forecasts: of((days) => tally(days)?.forecasts ?? 0),
      inside_80: of((days) => tally(days)?.inside ?? 0),
      coverage: of((days) => share(tally(days)?.inside, days)),
      censored: of((days) => tally(days)?.censored ?? 0),
      before_p10: of((days) => tally(days)?.before ?? 0),
      after_p90: of((days) => tally(days)?.after ?? 0),
      pinball_days: of((days) => share(tally(days)?.loss, days)),
      straight_line_pinball_days: of((days) => share(tally(days)?.straightLoss, days)),
      season: of(() => bounds?.season ?? null),
      tanks: of(() => units.length),
      asked_season: of(() => text('season')),
      tank: of(() => tank),
      as_of: of(() => text('as_of')),
      every: of(() => every),
      seed: of(() => seed),
    })
  })
}

/** All of a small fleet; of a large one those whose names have the least hashes, in the order given. */
function drawn(tanks: readonly { name: string; row: number }[]): readonly { name: string; row: number }[] {
  if (tanks.length <= MOST_TANKS) return tanks
  const lots = tanks.map(({ name }) => createHash('sha256').update(name).digest('hex'))
  const last = [...lots].sort()[MOST_TANKS - 1]!
  return tanks.filter((_, at) => lots[at]! <= last)
}

/** Counters that some task has a counted limit of; door cycles stand for one door. Openings when there is no task. */
async function limitedCourses(warehouse: Warehouse): Promise<string[]> {
  const rows = await warehouse.rows<{ course: string }>(
    `SELECT DISTINCT CASE counter WHEN 'door-cycles' THEN 'door-cycles door-1' ELSE counter END AS course FROM obs.task
     WHERE fate = 'accepted' AND triggered_by IS NULL
       AND counter IN ('openings', 'door-cycles', 'retardant-openings', 'fills', 'mounted-hours') ORDER BY 1`,
  )
  return rows.length > 0 ? rows.map((row) => row.course) : ['openings']
}
