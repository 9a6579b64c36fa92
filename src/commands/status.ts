import type { Warehouse } from '../warehouse/index.ts'
import { fingerprintOf } from './session.ts'

/** What stands in the warehouse, at a glance. */
export async function statusOf(warehouse: Warehouse): Promise<Record<string, unknown>> {
  const seasons = await warehouse.rows<{ season: string }>(
    'SELECT DISTINCT season FROM account."drop" WHERE season IS NOT NULL UNION SELECT DISTINCT season FROM account.flight WHERE season IS NOT NULL ORDER BY 1',
  )
  const [counts] = await warehouse.rows(`
    SELECT (SELECT count(*) FROM raw.file) AS files, (SELECT coalesce(sum(read), 0)::BIGINT FROM raw.file) AS rows,
      (SELECT count(*) FROM obs.waiting) AS quarantined,
      (SELECT count(*) FROM account."drop") AS drops, (SELECT count(*) FROM account.load) AS loads, (SELECT count(*) FROM account.flight) AS flights,
      (SELECT count(*) FROM answers.finding WHERE coalesce(state, 'open') = 'open') AS findings,
      (SELECT count(*) FROM raw.amendment) AS amendments`)
  const days = await warehouse.rows<{ season: string; last_day: string }>(
    `SELECT season, max(operating_day) AS last_day FROM (
       SELECT season, operating_day FROM account."drop" UNION ALL SELECT season, operating_day FROM account.load
       UNION ALL SELECT season, operating_day FROM account.flight)
     WHERE season IS NOT NULL AND operating_day IS NOT NULL GROUP BY season ORDER BY season`,
  )
  return {
    fingerprint: await fingerprintOf(warehouse),
    seasons: seasons.map((row) => row.season),
    counts,
    last_arrival: await warehouse.value('SELECT max(arrived_at) FROM raw.file'),
    last_days: Object.fromEntries(days.map((row) => [row.season, String(row.last_day).slice(0, 10)])),
    home_zone: await warehouse.value("SELECT value FROM raw.setting WHERE name = 'home_zone'"),
  }
}
