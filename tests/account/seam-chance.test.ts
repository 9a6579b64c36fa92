import { expect, test } from 'vitest'
import { account } from '../../src/account/index.ts'
import { type Random, random } from '../../src/statistics/index.ts'
import type { Row, Warehouse } from '../../src/warehouse/index.ts'
import { emptyWarehouse } from './fixture.ts'
import { fillLedger } from './many.ts'

const from = Number(process.env.CHANCE_FROM ?? 0)
const seeds = Array.from({ length: Number(process.env.CHANCE_COUNT ?? 1) }, (_, n) => from + n)
const nights = 7
const fleet = 5
const kinds = { drop: 'dropped_at', load: 'loaded_at', flight: 'off_at' }
const pick = <T>(chance: Random, list: readonly T[]): T => list[chance.below(list.length)]!

/** A ledger with days off, mornings with a flight before the first load, evenings that end full, and aircraft whose gauges nobody reads. */
async function fillSeasons(w: Warehouse, chance: Random): Promise<string[]> {
  await fillLedger(w, { aircraft: fleet, days: 100, loadsADay: 3 })
  await w.run(`
    DELETE FROM ledger.load WHERE hash(aircraft, loaded_at::DATE) % 7 = 0;
    DELETE FROM ledger.flight WHERE hash(aircraft, off_at::DATE) % 7 = 0;
    DELETE FROM ledger."drop" WHERE hash(aircraft, dropped_at::DATE) % 7 = 0;
    UPDATE ledger.load SET gauge_before_gal = NULL, gauge_after_gal = NULL, gauge_gal = NULL, is_recorded = false
      WHERE aircraft = 'N10${chance.below(fleet)}ZY';
    UPDATE ledger.load SET base_text = NULL WHERE hash(load, ${chance.below(99)}) % 11 = 0;
    UPDATE ledger.flight SET to_base_text = 'B' || hash(flight) % 6 WHERE hash(flight, 1) % 13 = 0;
    UPDATE ledger."drop" SET volume_gal = NULL, fraction = NULL WHERE hash("drop", 2) % 17 = 0;
    DELETE FROM ledger."drop" WHERE hash("drop", 3) % 19 = 0;
    INSERT INTO ledger.flight BY NAME SELECT * REPLACE (flight || 'm' AS flight, off_at - INTERVAL 3 HOUR AS off_at, on_at - INTERVAL 3 HOUR AS on_at)
      FROM ledger.flight WHERE hash(flight, 4) % 23 = 0`)
  const days = await w.rows<{ day: string }>(
    'SELECT DISTINCT loaded_at::DATE::VARCHAR AS day FROM ledger.load ORDER BY day',
  )
  return days.map((row) => row.day)
}

/** What may become of some aircraft's day. */
const changes: ((day: string, aircraft: string, chance: Random) => string)[] = [
  (day, aircraft) =>
    Object.entries(kinds)
      .map(
        ([kind, time]) =>
          `DELETE FROM ledger."${kind}" WHERE aircraft = '${aircraft}' AND ${time}::DATE = DATE '${day}'`,
      )
      .join(';'),
  ...Object.entries(kinds).map(
    ([kind, time]) =>
      (day: string, aircraft: string, chance: Random) =>
        `DELETE FROM ledger."${kind}" WHERE aircraft = '${aircraft}' AND ${time}::DATE = DATE '${day}' AND hash("${kind}", ${chance.below(99)}) % 3 = 0`,
  ),
  (day, aircraft, chance) =>
    `UPDATE ledger."drop" SET volume_gal = volume_gal + ${chance.below(200) - 100} WHERE aircraft = '${aircraft}' AND dropped_at::DATE = DATE '${day}'`,
  (day, aircraft) =>
    `UPDATE ledger."drop" SET volume_gal = NULL, fraction = NULL WHERE aircraft = '${aircraft}' AND dropped_at::DATE = DATE '${day}' AND hash("drop") % 2 = 0`,
  (day, aircraft) =>
    `UPDATE ledger.load SET gauge_before_gal = NULL, gauge_after_gal = NULL WHERE aircraft = '${aircraft}' AND loaded_at::DATE = DATE '${day}'`,
  (day, aircraft, chance) =>
    `UPDATE ledger.flight SET to_base_text = 'B${chance.below(6)}' WHERE aircraft = '${aircraft}' AND off_at::DATE = DATE '${day}'`,
  (day, aircraft) =>
    `UPDATE ledger.flight SET on_at = on_at + INTERVAL 9 HOUR WHERE aircraft = '${aircraft}' AND off_at::DATE = DATE '${day}' AND hash(flight) % 2 = 0`,
  (day, aircraft) =>
    Object.entries(kinds)
      .map(
        ([kind, time]) =>
          `INSERT INTO ledger."${kind}" BY NAME SELECT * REPLACE ("${kind}" || 'n' AS "${kind}", ${time} + INTERVAL 9 HOUR AS ${time}${kind === 'flight' ? ', on_at + INTERVAL 9 HOUR AS on_at' : ''})
           FROM ledger."${kind}" e WHERE aircraft = '${aircraft}' AND ${time}::DATE = DATE '${day}'
             AND NOT EXISTS (FROM ledger."${kind}" o WHERE o."${kind}" = e."${kind}" || 'n')`,
      )
      .join(';'),
]

/** A text of every row of every table, sorted, with doubles to the last bit. */
async function picture(w: Warehouse): Promise<Record<string, string[]>> {
  const out: Record<string, string[]> = {}
  const tables = await w.rows<{ name: string }>(
    "SELECT table_name AS name FROM duckdb_tables() WHERE schema_name = 'account' ORDER BY name",
  )
  for (const { name } of tables) {
    const rows = await w.rows<Row>(`SELECT t::VARCHAR AS text FROM account."${name}" t ORDER BY 1`)
    out[name] = rows.map((row) => String(row.text))
  }
  return out
}

test.each(seeds)(
  'seasons %i: days that change are made again until all stands as it did, and give what a computation of everything gives',
  async (seed) => {
    const w = await emptyWarehouse()
    try {
      const chance = random(`seam ${seed}`)
      const days = await fillSeasons(w, chance)
      await account(w, 'all')
      const windows = { ended: 0, whole: 0 }
      for (let night = 0; night < nights; night++) {
        const at = chance.below(days.length - 1)
        const touched = Array.from({ length: fleet }, (_, n) => `N10${n}ZY`).filter(
          () => chance.uniform() < 0.4,
        )
        const said: string[] = []
        for (const aircraft of touched)
          for (const day of days.slice(at, at + 1 + chance.below(2)))
            said.push(pick(chance, changes)(day, aircraft, chance))
        await w.run(said.join(';') || 'SELECT 1')
        const made = await account(w, { aircraft: touched, since: days[at]! })
        if (made !== null && made !== 'all') windows[made.until < '9999' ? 'ended' : 'whole']++
        const part = await picture(w)
        await account(w, 'all')
        const whole = await picture(w)
        for (const name of Object.keys(whole))
          expect(part[name], `night ${night}: ${name} after ${said.join('; ')}`).toEqual(whole[name])
      }
      if (process.env.CHANCE_COUNT) console.log(seed, windows)
      expect(windows.ended).toBeGreaterThan(0)
    } finally {
      await w.close()
    }
  },
  240_000,
)
