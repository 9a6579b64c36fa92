import type { Warehouse } from '../warehouse/index.ts'
import { type Fire, type FireFound, fireNamed } from './fire-name.ts'

interface FireRow extends Fire {
  first_day: string
  last_day: string
}

/**
 * Resolves every written fire name of the staged drops, once per text and day, into `account.fire_text`.
 * Expects the temporary table `written_fire(text, operating_day, season)`.
 */
export async function resolveFires(warehouse: Warehouse): Promise<void> {
  const fires = await warehouse.rows<FireRow>(
    'SELECT number, season, name, coalesce(aliases, []) AS aliases, first_day, last_day FROM account.fire ORDER BY number, season',
  )
  await addAliases(warehouse, fires)
  const wanted = await warehouse.rows<{ text: string; operating_day: string; season: string }>(
    `SELECT text, operating_day, season FROM written_fire
     ANTI JOIN account.fire_text USING (text, operating_day) ORDER BY operating_day, text`,
  )
  const lookUp = resolver(fires)
  const found = wanted.map((row) => lookUp(row.text, row.season, row.operating_day))
  await warehouse.append('account.fire_text', {
    text: wanted.map((row) => row.text),
    season: wanted.map((row) => row.season),
    operating_day: wanted.map((row) => row.operating_day),
    fire: found.map((one) => one.fire?.number ?? null),
    fire_season: found.map((one) => one.fire?.season ?? null),
    how: found.map((one) => one.how),
    score: found.map((one) => one.score),
    suggestion: found.map((one) => one.suggestion),
  })
}

/** Looks a text up on a day; days on which the same fires are active share their results. */
function resolver(fires: readonly FireRow[]): (text: string, season: string, day: string) => FireFound {
  const activeOn = new Map<string, { mark: string; active: FireRow[] }>()
  const ofSeason = new Map<string, FireRow[]>()
  const known = new Map<string, FireFound>()
  return (text, season, day) => {
    let on = activeOn.get(day)
    if (!on) {
      const active = fires.filter((fire) => fire.first_day <= day && day <= fire.last_day)
      on = { mark: active.map((fire) => `${fire.number}/${fire.season}`).join(), active }
      activeOn.set(day, on)
    }
    let within = ofSeason.get(season)
    if (!within) {
      within = fires.filter((fire) => fire.season === season || fire.season === 'any')
      ofSeason.set(season, within)
    }
    const key = `${text}\n${season}\n${on.mark}`
    let found = known.get(key)
    if (!found) {
      found = fireNamed(text, within, on.active)
      known.set(key, found)
    }
    return found
  }
}

/** Aliases that people have recorded since, by fire number. */
async function addAliases(warehouse: Warehouse, fires: FireRow[]): Promise<void> {
  const said = await warehouse.rows<{ target: string; alias: string }>(
    `SELECT payload ->> 'target' AS target, payload ->> 'alias' AS alias FROM raw.amendment
     WHERE action = 'alias' AND (payload ->> 'kind') = 'fire' AND undone_by IS NULL ORDER BY amendment_no`,
  )
  for (const { target, alias } of said) {
    for (const fire of fires) if (fire.number === target) fire.aliases = [...fire.aliases, alias]
  }
}
