import { oneOf, quote } from '../values/sql/write.ts'
import type { Warehouse } from '../warehouse/index.ts'

/**
 * What to look at again: everything, or what these tanks and aircraft did since a moment (UTC, as ISO text). The latter holds where
 * drops or assessments of those aircraft changed, and neither traces nor the registry did.
 */
export type Assessed =
  | 'all'
  | { readonly aircraft: readonly string[]; readonly tanks: readonly string[]; readonly since: string }

const listed = (names: readonly string[]): string => names.map(quote).join(', ')

/** Says to the stages which tanks they look at, as constants: the readers of tables skip what has none of them. */
export async function tellTanks(warehouse: Warehouse, tanks: 'all' | readonly string[]): Promise<void> {
  await warehouse.run(
    `CREATE OR REPLACE TEMP MACRO is_told_tank(name) AS ${tanks === 'all' ? 'true' : `name IS NULL OR ${oneOf('name', tanks)}`}`,
  )
}

/**
 * Says which aircraft and since when. Heights of large airtankers are told by season: a season counts whole when it has a day
 * since then, whether it is one on record or a year; `told_day` is the first day of such seasons.
 */
export async function tellScope(warehouse: Warehouse, scope: Assessed): Promise<void> {
  await tellTanks(warehouse, scope === 'all' ? 'all' : scope.tanks)
  if (scope === 'all') {
    await warehouse.run(`
      CREATE OR REPLACE TEMP MACRO is_told_aircraft(name) AS true;
      CREATE OR REPLACE TEMP MACRO is_told_span(rule, span) AS true;
      CREATE OR REPLACE TEMP MACRO told_day() AS NULL::DATE;
      CREATE OR REPLACE TEMP MACRO told_aircraft() AS NULL::VARCHAR[];
      CREATE OR REPLACE TEMP MACRO told_from() AS NULL::TIMESTAMP`)
    return
  }
  const [time] = await warehouse.rows<{ from: string; day: string; year: number }>(
    `SELECT ($since::TIMESTAMP - INTERVAL 1 HOUR)::VARCHAR AS "from", ($since::DATE - 2)::VARCHAR AS day, year($since::DATE - 2) AS year`,
    { since: scope.since },
  )
  const { from, day, year } = time!
  const seasons = await warehouse.rows<{ name: string }>(
    'SELECT DISTINCT name FROM obs.season WHERE ends_on >= $day::DATE AND name IS NOT NULL ORDER BY name',
    { day },
  )
  const first = await warehouse.value<string>(
    `SELECT least(make_date(${year}, 1, 1), min(starts_on))::VARCHAR FROM obs.season
     WHERE ends_on >= $day::DATE OR try_cast(name AS INTEGER) >= ${year}`,
    { day },
  )
  const inSeason = `(${oneOf(
    'span',
    seasons.map((one) => one.name),
  )} OR coalesce(try_cast(span AS INTEGER) >= ${year}, false))`
  await warehouse.run(`
    CREATE OR REPLACE TEMP MACRO is_told_aircraft(name) AS ${oneOf('name', scope.aircraft)};
    CREATE OR REPLACE TEMP MACRO is_told_span(rule, span) AS
      CASE WHEN rule IN ('large', 'very-large') THEN ${inSeason} ELSE span >= '${day}' END;
    CREATE OR REPLACE TEMP MACRO told_day() AS DATE '${first}';
    CREATE OR REPLACE TEMP MACRO told_aircraft() AS [${listed(scope.aircraft)}]::VARCHAR[];
    CREATE OR REPLACE TEMP MACRO told_from() AS TIMESTAMP '${from}'`)
}
