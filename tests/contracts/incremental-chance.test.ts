import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest'
import { reconcile } from '../../src/contracts/index.ts'
import { random } from '../../src/statistics/index.ts'
import { Desk } from './desk.ts'
import { dayAt, fillDays, fillPapers } from './season-of-chance.ts'

let desk: Desk
beforeAll(async () => {
  desk = await Desk.open()
})
beforeEach(() => desk.clear())
afterAll(() => desk.close())

const from = Number(process.env.CHANCE_FROM ?? 0)
const seeds = Array.from({ length: Number(process.env.CHANCE_COUNT ?? 4) }, (_, n) => from + n)

/** An event of these aircraft since a moment: what is withdrawn, written otherwise, and left as it stands. */
const since = (table: string, time: string, list: string, at: string): string =>
  `${table} WHERE aircraft IN (${list}) AND ${time} >= TIMESTAMP '${at}'`

test.each(seeds)(
  'season %i: a late part of it, withdrawn, corrected and added to, gives what a computation of everything gives',
  async (seed) => {
    const chance = random(`papers ${seed}`)
    const days = [2025, 2026].flatMap((year) =>
      Array.from({ length: 24 }, (_, n) => dayAt(year, n * 4 + chance.below(3))),
    )
    await desk.warehouse.transaction(async () => {
      await fillPapers(desk, chance)
      await fillDays(desk, chance, 'a', days)
    })
    await reconcile(desk.warehouse)
    for (let night = 0; night < 3; night++) {
      const day = days[chance.below(days.length)]!
      const at = `${day} 00:00:00`
      const aircraft = ['N1', 'N2', 'N3', 'N4'].filter(() => chance.uniform() < 0.4)
      const list = aircraft.map((one) => `'${one}'`).join() || `'none'`
      const w = desk.warehouse
      const fifth = `hash(${night}, rowid) % 5`
      for (const room of ['ledger', 'account']) {
        const of = (kind: string, time: string): string => since(`${room}."${kind}"`, time, list, at)
        await w.run(`DELETE FROM ${of('flight', 'off_at')} AND hash(flight, ${night}) % 5 = 0`)
        await w.run(`DELETE FROM ${of('drop', 'dropped_at')} AND hash("drop", ${night}) % 5 = 0`)
        await w.run(`DELETE FROM ${of('load', 'loaded_at')} AND hash(load, ${night}) % 6 = 0`)
      }
      await w.run(
        `UPDATE account."drop" SET load = NULL WHERE load NOT IN (SELECT load FROM account.load);
         UPDATE account."drop" SET purpose = 'emergency' WHERE aircraft IN (${list}) AND dropped_at >= TIMESTAMP '${at}' AND ${fifth} = 1;
         UPDATE account."drop" SET volume_gal = 777.7 WHERE aircraft IN (${list}) AND dropped_at >= TIMESTAMP '${at}' AND ${fifth} = 2;
         UPDATE ledger.load SET ticket = 'T' || hash(rowid, ${night}) % 40 WHERE aircraft IN (${list}) AND loaded_at >= TIMESTAMP '${at}' AND ${fifth} = 1;
         UPDATE ledger.load SET volume_gal = 2080 WHERE aircraft IN (${list}) AND loaded_at >= TIMESTAMP '${at}' AND ${fifth} = 2;
         UPDATE account.load SET base = 'OAK', fluid = 'water' WHERE aircraft IN (${list}) AND loaded_at >= TIMESTAMP '${at}' AND ${fifth} = 3`,
      )
      const late = days.filter((one) => one >= day && chance.uniform() < 0.2)
      await desk.warehouse.transaction(() =>
        fillDays(desk, chance, `b${night}`.repeat(night + 1), late, aircraft),
      )
      await reconcile(w, { aircraft, since: at })
      const part = await desk.picture()
      await reconcile(w)
      const whole = await desk.picture()
      for (const table of Object.keys(whole))
        expect(part[table], `${table}, night ${night}`).toEqual(whole[table])
      if (night === 0) expect((whole.line as string[]).length).toBe(56)
    }
  },
  60_000,
)
