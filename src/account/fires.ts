import type { Warehouse } from '../warehouse/index.ts'
import { type Fire, type FireFound, fireNamed } from './fire-name.ts'

interface FireRow extends Fire {
  first_day: string
  last_day: string
}

interface Written {
  text: string
  operating_day: string
  season: string
}

/**
 * Resolves every written fire name of the staged drops, once per text and day, into `account.fire_text`.
 * Expects the temporary table `written_fire(text, operating_day, season)`.
 */
export async function resolveFires(warehouse: Warehouse): Promise<void> {
  const wanted = await warehouse.rows<Written>(
    `SELECT text, operating_day, season FROM written_fire
     ANTI JOIN account.fire_text USING (text, operating_day) ORDER BY operating_day, text`,
  )
  await lookUpInto(warehouse, 'account.fire_text', wanted)
}

/**
 * Resolves what witnesses wrote who did not write the same of a drop's fire, into `account.disputed_text`: two spellings
 * of one fire are no disagreement. @param isAll whether the fires may be others than those that were looked up in
 */
export async function resolveDisputed(warehouse: Warehouse, isAll: boolean): Promise<void> {
  if (isAll) await warehouse.run('DELETE FROM account.disputed_text')
  const isAny = 'SELECT 1 FROM ledger.disputed_fire UNION ALL SELECT 1 FROM account.disputed_text LIMIT 1'
  if ((await warehouse.value(isAny)) === null) return
  await warehouse.run(
    `CREATE OR REPLACE TEMP TABLE disputed_fire AS SELECT DISTINCT x.text, a.operating_day, a.season
     FROM account."drop" a JOIN ledger.disputed_fire x ON x."drop" = a."drop";
     DELETE FROM account.disputed_text WHERE (text, operating_day) NOT IN (SELECT (text, operating_day) FROM disputed_fire)`,
  )
  const wanted = await warehouse.rows<Written>(
    'FROM disputed_fire ANTI JOIN account.disputed_text USING (text, operating_day) ORDER BY operating_day, text',
  )
  await lookUpInto(warehouse, 'account.disputed_text', wanted)
}

/** Looks texts up in the fires as they stand and appends what they were found to be. */
export async function lookUpInto(
  warehouse: Warehouse,
  table: string,
  wanted: readonly Written[],
): Promise<void> {
  if (wanted.length === 0) return
  const fires = await warehouse.rows<FireRow>(
    'SELECT number, season, name, coalesce(aliases, []) AS aliases, first_day, last_day FROM account.fire ORDER BY number, season',
  )
  const lookUp = resolver(fires)
  const found = wanted.map((row) => lookUp(row.text, row.season, row.operating_day))
  await warehouse.append(table, {
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
