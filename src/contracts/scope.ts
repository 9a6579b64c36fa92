import { oneOf } from '../values/sql/write.ts'
import type { Warehouse } from '../warehouse/index.ts'

/** What of the account was made again: everything, or that of these aircraft from a moment (UTC, as ISO text) on, until another. */
export type Changed =
  | 'all'
  | { readonly aircraft: readonly string[]; readonly since: string; readonly until?: string }

const everBefore = '0001-06-01 00:00:00'
const everAfter = '9999-06-01 00:00:00'

const ofAccount = "item IN ('gallon-loaded', 'gallon-delivered', 'flight-hour')"

/** What the stages ask before they read or write: any line, item, aircraft, day, moment and piece of work at all. */
const everything = `
CREATE OR REPLACE TEMP MACRO is_of_account(item) AS ${ofAccount};
CREATE OR REPLACE TEMP MACRO is_all_asked() AS true;
CREATE OR REPLACE TEMP MACRO is_asked_item(item) AS true;
CREATE OR REPLACE TEMP MACRO is_asked_plane(plane) AS true;
CREATE OR REPLACE TEMP MACRO is_asked_day(day) AS true;
CREATE OR REPLACE TEMP MACRO is_asked_at(moment) AS true;
CREATE OR REPLACE TEMP MACRO is_asked_since(moment) AS true;
CREATE OR REPLACE TEMP MACRO is_asked_line(c, i, l) AS true;
CREATE OR REPLACE TEMP MACRO is_asked_work(c, i, a, s) AS true`

/** Of which aircraft alone, where the papers stand as they were: what rests on them alone is left alone. */
const ofPlanes = (planes: readonly string[]): string => `
CREATE OR REPLACE TEMP MACRO is_all_asked() AS false;
CREATE OR REPLACE TEMP MACRO is_asked_item(item) AS ${ofAccount};
CREATE OR REPLACE TEMP MACRO is_asked_plane(plane) AS ${oneOf('plane', planes)}`

/** And on which days alone, the first and the last; what was let go of a load may have been days after it. */
const ofDays = (low: string, high: string): string => `
CREATE OR REPLACE TEMP MACRO asked_from() AS DATE '${low}';
CREATE OR REPLACE TEMP MACRO asked_to() AS DATE '${high}';
CREATE OR REPLACE TEMP MACRO is_asked_day(day) AS day >= DATE '${low}' AND day <= DATE '${high}';
CREATE OR REPLACE TEMP MACRO is_asked_since(moment) AS moment >= TIMESTAMP '${low}' - INTERVAL 2 DAY;
CREATE OR REPLACE TEMP MACRO is_asked_at(moment) AS moment >= TIMESTAMP '${low}' - INTERVAL 2 DAY AND moment < TIMESTAMP '${high}' + INTERVAL 3 DAY`

export async function askAll(warehouse: Warehouse): Promise<void> {
  await warehouse.run(everything)
}

/**
 * Narrows the stages to what a changed account bears on and leaves its lines in `bill`: the days of the change, and beside
 * them what shares evidence, a price or a note with them, of those aircraft and of others that a line or price ties
 * to them. Nothing outside of it rests on anything inside, nor the other way.
 */
export async function askPart(warehouse: Warehouse, changed: Exclude<Changed, 'all'>): Promise<void> {
  await warehouse.run(await warehouse.readStage('contracts/scope'), { list: changed.aircraft.join('\n') })
  const planes = await warehouse.rows<{ plane: string }>(
    'FROM scope_plane WHERE plane IS NOT NULL ORDER BY plane',
  )
  await warehouse.run(ofPlanes(planes.map((row) => row.plane)))
  await warehouse.run(ofDays(dayBeside(changed.since, -2), dayBeside(changed.until ?? everAfter, 2)))
  await warehouse.run(await warehouse.readStage('contracts/scope-spans'))
  const [days] = await warehouse.rows<{ low_on: string; high_on: string }>(
    await warehouse.readStage('contracts/scope-day'),
  )
  await warehouse.run(ofDays(days!.low_on, days!.high_on))
  await warehouse.run(await warehouse.readStage('contracts/scope-lines'))
}

/** The day so many days beside that of a moment, within the years that are counted on. */
function dayBeside(moment: string, days: number): string {
  const day = [[everBefore, moment].sort()[1]!, everAfter].sort()[0]!.slice(0, 10)
  return new Date(Date.parse(day) + days * 86_400_000).toISOString().slice(0, 10)
}

/** Keeps, in `scope_work`, which work stands unbilled on the asked days; called before they are written and after. */
export async function keepUnbilled(warehouse: Warehouse, when: 'before' | 'after'): Promise<void> {
  const asked = `SELECT DISTINCT contracts.work_subject(item, aircraft, contract, season) AS subject FROM contracts.unbilled
    WHERE is_asked_item(item) AND is_asked_plane(aircraft) AND is_asked_day(day)`
  await warehouse.run(
    when === 'before'
      ? `CREATE OR REPLACE TEMP TABLE scope_work AS ${asked}`
      : `INSERT INTO scope_work ${asked}`,
  )
}
