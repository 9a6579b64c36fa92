import type { Params, Warehouse } from '../warehouse/index.ts'
import { compareSeasons, measures, methods, type Pieces } from './season-rates.ts'

interface Likeness {
  season: string
  against: string
  from_month_day: string
  to_month_day: string
  aircraft: string[]
}

/**
 * Fills `asked.season_rate`: each rate of one season against another, like for like. Only aircraft that flew in both count, and only the
 * days of the year from the later of the two first flights to the earlier of the two last ones. `season` is the later season (the
 * newest unless given), `against` the other (the one before it unless given).
 */
export async function prepareSeasons(warehouse: Warehouse, params: Params): Promise<void> {
  const like = await likeness(warehouse, params)
  await warehouse.run('DELETE FROM asked.season_rate')
  if (like === null) return
  const pieces = await readPieces(warehouse, like)
  const rows = Object.entries(measures).map(([measure, { unit, method }]) => ({
    measure,
    unit,
    method: methods[method],
    ...compareSeasons(method, pieces(measure, like.season), pieces(measure, like.against)),
  }))
  const names = [
    'measure',
    'unit',
    'method',
    'season_value',
    'season_n',
    'against_value',
    'against_n',
    'difference',
    'low',
    'high',
  ] as const
  await warehouse.append('asked.season_rate', {
    ...Object.fromEntries(names.map((name) => [name, rows.map((row) => row[name])])),
    season: rows.map(() => like.season),
    against: rows.map(() => like.against),
    from_month_day: rows.map(() => like.from_month_day),
    to_month_day: rows.map(() => like.to_month_day),
    aircraft: rows.map(() => like.aircraft),
  })
}

async function likeness(warehouse: Warehouse, params: Params): Promise<Likeness | null> {
  const [found] = await warehouse.rows<Likeness>(await warehouse.readStage('effectiveness/season-likeness'), {
    season: params.season ?? null,
    against: params.against ?? null,
    aircraft: params.aircraft ?? null,
  })
  return found ?? null
}

async function readPieces(
  warehouse: Warehouse,
  like: Likeness,
): Promise<(measure: string, season: string) => Pieces> {
  const units = (await warehouse.readStage('effectiveness/season-units')).replace(/;\s*$/, '')
  const all = await warehouse.columns(
    `SELECT measure, season, y, x FROM (${units}) WHERE season IN ($season, $against)
       AND month_day BETWEEN $from AND $to AND list_contains(string_split($aircraft, chr(10)), aircraft)
     ORDER BY measure, season, aircraft, month_day, y, x`,
    {
      season: like.season,
      against: like.against,
      from: like.from_month_day,
      to: like.to_month_day,
      aircraft: like.aircraft.join('\n'),
    },
  )
  const at = new Map<string, [number, number]>()
  const key = (measure: string, season: string): string => `${measure}\n${season}`
  const [measure, season] = [all.text('measure'), all.text('season')]
  for (let i = 0; i < all.count; i++) {
    const span = at.get(key(measure[i]!, season[i]!))
    if (span) span[1] = i + 1
    else at.set(key(measure[i]!, season[i]!), [i, i + 1])
  }
  return (name, of) => {
    const [from, to] = at.get(key(name, of)) ?? [0, 0]
    return { y: all.numbers('y').subarray(from, to), x: all.numbers('x').subarray(from, to) }
  }
}
