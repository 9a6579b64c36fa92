import { oneOf } from '../values/sql/write.ts'
import type { Warehouse } from '../warehouse/index.ts'

/** What of the account was made again: everything, or that of these aircraft from a moment (UTC, as ISO text) on. */
export type Changed = 'all' | { readonly aircraft: readonly string[]; readonly since: string }

const ofAccount = "item IN ('gallon-loaded', 'gallon-delivered', 'flight-hour')"

/** What the stages ask before they read or write: any line, item, aircraft, day, moment and piece of work at all. */
const everything = `
CREATE OR REPLACE TEMP MACRO is_of_account(item) AS ${ofAccount};
CREATE OR REPLACE TEMP MACRO is_all_asked() AS true;
CREATE OR REPLACE TEMP MACRO is_asked_item(item) AS true;
CREATE OR REPLACE TEMP MACRO is_asked_plane(plane) AS true;
CREATE OR REPLACE TEMP MACRO is_asked_day(day) AS true;
CREATE OR REPLACE TEMP MACRO is_asked_at(moment) AS true;
CREATE OR REPLACE TEMP MACRO is_asked_line(c, i, l) AS true;
CREATE OR REPLACE TEMP MACRO is_asked_work(c, i, a, s) AS true`

/** The same where the papers stand as they were: what rests on them alone is left alone. */
const ofPart = (day: string, planes: readonly string[]): string => `
CREATE OR REPLACE TEMP MACRO asked_from() AS DATE '${day}';
CREATE OR REPLACE TEMP MACRO is_all_asked() AS false;
CREATE OR REPLACE TEMP MACRO is_asked_item(item) AS ${ofAccount};
CREATE OR REPLACE TEMP MACRO is_asked_plane(plane) AS ${oneOf('plane', planes)};
CREATE OR REPLACE TEMP MACRO is_asked_day(day) AS day >= DATE '${day}';
CREATE OR REPLACE TEMP MACRO is_asked_at(moment) AS moment >= TIMESTAMP '${day}' - INTERVAL 2 DAY`

export async function askAll(warehouse: Warehouse): Promise<void> {
  await warehouse.run(everything)
}

/**
 * Narrows the stages to what a changed account bears on and leaves its lines in `bill`: the days from the change on, and
 * before it what shares evidence, a price or a note with them, of those aircraft and of others that a line or price ties
 * to them. Nothing outside of it rests on anything inside, nor the other way.
 */
export async function askPart(warehouse: Warehouse, changed: Exclude<Changed, 'all'>): Promise<void> {
  await warehouse.run(await warehouse.readStage('contracts/scope'), { list: changed.aircraft.join('\n') })
  const day = await warehouse.value<string>(await warehouse.readStage('contracts/scope-day'), {
    from: changed.since,
  })
  const planes = await warehouse.rows<{ plane: string }>(
    'FROM scope_plane WHERE plane IS NOT NULL ORDER BY plane',
  )
  await warehouse.run(
    ofPart(
      day ?? '0001-01-01',
      planes.map((row) => row.plane),
    ),
  )
  await warehouse.run(await warehouse.readStage('contracts/scope-lines'))
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
