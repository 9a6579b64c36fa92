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

/** An event of these aircraft from a moment until another: what is withdrawn, written otherwise, and left as it stands. */
const between = (time: string, list: string, at: string, end: string): string =>
  `WHERE aircraft IN (${list}) AND ${time} >= TIMESTAMP '${at}' AND ${time} < TIMESTAMP '${end}'`

test.each(seeds)(
  'season %i: a late part of it, withdrawn, corrected and added to, gives what a computation of everything gives',
  async (seed) => {
    const chance = random(`papers ${seed}`)
    const isPlain = seed % 2 === 1
    let narrow = 0
    const days = [2025, 2026].flatMap((year) =>
      Array.from({ length: 24 }, (_, n) => dayAt(year, n * 4 + chance.below(3))),
    )
    await desk.warehouse.transaction(async () => {
      await fillPapers(desk, chance, isPlain)
      await fillDays(desk, chance, 'a', days)
    })
    await reconcile(desk.warehouse)
    for (let night = 0; night < 4; night++) {
      const day = days[chance.below(days.length)]!
      const at = `${day} 00:00:00`
      const isOpen = chance.uniform() < 0.3
      const last = isOpen
        ? '9999-12-01'
        : new Date(Date.parse(day) + (1 + chance.below(4)) * 86_400_000).toISOString().slice(0, 10)
      const end = `${last} 00:00:00`
      // A load is carried to the next morning.
      const until = isOpen ? undefined : new Date(Date.parse(last) + 86_400_000).toISOString().slice(0, 10)
      const aircraft = ['N1', 'N2', 'N3', 'N4'].filter(() => chance.uniform() < 0.4)
      const list = aircraft.map((one) => `'${one}'`).join() || `'none'`
      const w = desk.warehouse
      const fifth = `hash(${night}, rowid) % 5`
      for (const room of ['ledger', 'account']) {
        const of = (kind: string, time: string): string => `${room}."${kind}" ${between(time, list, at, end)}`
        await w.run(`DELETE FROM ${of('flight', 'off_at')} AND hash(flight, ${night}) % 5 = 0`)
        await w.run(`DELETE FROM ${of('drop', 'dropped_at')} AND hash("drop", ${night}) % 5 = 0`)
        await w.run(`DELETE FROM ${of('load', 'loaded_at')} AND hash(load, ${night}) % 6 = 0`)
      }
      await w.run(
        `UPDATE account."drop" SET load = NULL WHERE load NOT IN (SELECT load FROM account.load);
         UPDATE account."drop" SET purpose = 'emergency' ${between('dropped_at', list, at, end)} AND ${fifth} = 1;
         UPDATE account."drop" SET volume_gal = 777.7 ${between('dropped_at', list, at, end)} AND ${fifth} = 2;
         UPDATE ledger.load SET ticket = 'T' || hash(rowid, ${night}) % 40 ${between('loaded_at', list, at, end)} AND ${fifth} = 1;
         UPDATE ledger.load SET volume_gal = 2080 ${between('loaded_at', list, at, end)} AND ${fifth} = 2;
         UPDATE account.load SET base = 'OAK', fluid = 'water' ${between('loaded_at', list, at, end)} AND ${fifth} = 3`,
      )
      const late = days.filter((one) => one >= day && one < last && chance.uniform() < (isOpen ? 0.2 : 0.7))
      await desk.warehouse.transaction(() =>
        fillDays(desk, chance, 'bcdefg'[night]!.repeat(night + 2), late, aircraft),
      )
      await reconcile(w, { aircraft, since: at, ...(until ? { until: `${until} 12:00:00` } : {}) })
      if (until && (await w.value('SELECT asked_to() - asked_from() < 30'))) narrow++
      const part = await desk.picture()
      await reconcile(w)
      const whole = await desk.picture()
      for (const table of Object.keys(whole))
        expect(part[table], `${table}, night ${night}`).toEqual(whole[table])
      if (night === 0) expect((whole.line as string[]).length).toBe(56)
    }
    if (process.env.CHANCE_COUNT) console.log(seed, narrow)
    if (isPlain) expect(narrow).toBeGreaterThan(0)
  },
  60_000,
)
