import { fireNumberKey } from '../values/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { lookUpInto } from './fires.ts'

/** Keeps the fires and the box of positions that the account was made from, before the registry is read again. */
export async function keepFires(warehouse: Warehouse): Promise<void> {
  await warehouse.run(await warehouse.readStage('account/reach-box'))
  await warehouse.run(
    `CREATE OR REPLACE TEMP TABLE fire_before AS FROM account.fire;
     CREATE OR REPLACE TEMP TABLE reach_before AS FROM reach`,
  )
}

/**
 * Looks again at what fires that were added, corrected or withdrawn bear on, and leaves in `fire_day` the days on which an
 * aircraft's drops may be attributed otherwise now. Whatever else the fires were is untouched: in a season one is added nearly
 * every day.
 */
export async function followFires(warehouse: Warehouse): Promise<void> {
  await warehouse.run(
    `CREATE OR REPLACE TEMP TABLE fire_day(aircraft VARCHAR, day DATE);
     CREATE OR REPLACE TEMP TABLE changed_fire AS
       (FROM fire_before EXCEPT FROM account.fire) UNION ALL (FROM account.fire EXCEPT FROM fire_before)`,
  )
  const changed = await warehouse.rows<{ number: string }>('SELECT number FROM changed_fire')
  if (changed.length === 0) return
  await lookUpAgain(warehouse, new Set(changed.map((fire) => fireNumberKey(fire.number))))
  await warehouse.run(await warehouse.readStage('account/fire-days'))
  const isMoved = await warehouse.value<boolean>('SELECT EXISTS (FROM reach EXCEPT FROM reach_before)')
  if (isMoved) await warehouse.run(await warehouse.readStage('account/box-days'))
}

/** Whether any did; asked after `followFires`. */
export async function areFiresChanged(warehouse: Warehouse): Promise<boolean> {
  return (await warehouse.value<boolean>('SELECT EXISTS (FROM changed_fire)')) === true
}

/**
 * Names hold among the fires active on a day, numbers within the season. What was written on the days of a changed fire,
 * or is its number, or led to no fire in its season, is looked up anew; `moved_text` has the texts that lead to another fire now.
 */
async function lookUpAgain(warehouse: Warehouse, numbers: ReadonlySet<string>): Promise<void> {
  const texts = await warehouse.rows<{ text: string }>('SELECT DISTINCT text FROM account.fire_text')
  const numbered = texts.filter((row) => numbers.has(fireNumberKey(row.text))).map((row) => row.text)
  const written = await warehouse.rows<{ text: string; operating_day: string; season: string }>(
    `SELECT text, operating_day, season FROM account.fire_text t
     WHERE text IN (SELECT unnest(from_json($numbered::JSON, '["VARCHAR"]')))
       OR EXISTS (SELECT 1 FROM changed_fire f WHERE t.operating_day BETWEEN f.first_day AND f.last_day)
       OR t.fire IS NULL AND EXISTS (SELECT 1 FROM changed_fire f WHERE f.season IN (t.season, 'any'))
     ORDER BY operating_day, text`,
    { numbered: JSON.stringify(numbered) },
  )
  await warehouse.run('CREATE OR REPLACE TEMP TABLE fresh_text AS FROM account.fire_text LIMIT 0')
  await lookUpInto(warehouse, 'temp.fresh_text', written)
  await warehouse.run(
    `CREATE OR REPLACE TEMP TABLE other_text AS FROM fresh_text EXCEPT FROM account.fire_text;
     CREATE OR REPLACE TEMP TABLE moved_text AS
       SELECT o.text, o.operating_day FROM other_text o JOIN account.fire_text t ON t.text = o.text AND t.operating_day = o.operating_day
       WHERE (t.fire, t.fire_season) IS DISTINCT FROM (o.fire, o.fire_season);
     DELETE FROM account.fire_text WHERE (text, operating_day) IN (SELECT (text, operating_day) FROM other_text);
     INSERT INTO account.fire_text FROM other_text`,
  )
}
