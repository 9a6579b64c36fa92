import { describe, expect, it } from 'vitest'
import { match } from '../../src/matching/index.ts'
import { emptyHouse, line, put } from './house.ts'

type Line = ReturnType<typeof line>

/** Loads of one day: that many, 70 minutes apart, and a drop after each. */
const loadsOf = (day: number, count: number): number[] =>
  Array.from(
    { length: count },
    (_, load) => Date.UTC(2026, 6, 1 + day, 16, 3) + load * 70 * 60_000 + day * 131_000,
  )

const iso = (ms: number): string => new Date(ms).toISOString()
const hour = 3_600_000

interface Day {
  readonly loads: number
  /** Hours by which the ticket's clock is late. */
  readonly late: number
  readonly isUnseen?: boolean
}

/** A season that a controller and the tickets of a base alone tell of. */
function season(days: readonly Day[]): Line[] {
  return days.flatMap(({ loads, late, isUnseen }, day) =>
    loadsOf(day, loads).flatMap((at, load) => {
      const volume = 2400 + ((day * 7 + load) % 5) * 130
      return [
        ...(isUnseen
          ? []
          : [
              line('load', 'controller:c', iso(at), { volume }),
              line('drop', 'controller:c', iso(at + 31 * 60_000), { volume }),
            ]),
        line('load', 'ticket:k', iso(60_000 * Math.round(at / 60_000) + late * hour), { volume }),
      ]
    }),
  )
}

const busy = (late: number): Day => ({ loads: 5, late })
const single = (late: number): Day => ({ loads: 1, late })

async function matched(days: readonly Day[]): Promise<{ once: boolean; minutes: unknown[] }> {
  const warehouse = await emptyHouse()
  await put(warehouse, season(days))
  await match(warehouse, 'all')
  const [loads] = await warehouse.rows('SELECT count(*) AS loads FROM ledger.load')
  const clocks = await warehouse.rows<{ minutes: number }>(
    `SELECT offset_min AS minutes FROM ledger.clock WHERE source = 'ticket:k' ORDER BY started_at`,
  )
  const wanted = days.reduce((sum, day) => sum + day.loads, 0)
  return { once: loads?.loads === wanted, minutes: clocks.map((clock) => clock.minutes) }
}

describe('the clock of a ticket is the clock of its base', () => {
  /** Fills at two bases in turn, as the controller and each base's tickets tell them; of one base so many hours late. */
  const turns = (days: readonly number[], late: number): Line[] =>
    days.flatMap((loads, day) =>
      loadsOf(day, loads).flatMap((turn, load) => {
        const at = turn + load * 17 * 60_000
        const volume = 2400 + ((day * 7 + load) % 5) * 130
        const base = load % 2 === 0 ? 'Tarn Flat' : 'Old Mill'
        const told = 60_000 * Math.round(at / 60_000) + (base === 'Old Mill' ? late * hour : 0)
        return [
          line('load', 'controller:c', iso(at), { volume }),
          line('drop', 'controller:c', iso(at + 31 * 60_000), { volume }),
          line('load', 'ticket:k', iso(told), { volume, base }),
        ]
      }),
    )

  it.each([1, -1])('one that is %i h late says nothing of the other', async (late) => {
    const warehouse = await emptyHouse()
    await put(warehouse, turns([8, 7, 8], late))
    await match(warehouse, 'all')
    const clocks = await warehouse.rows(
      `SELECT DISTINCT source, base, offset_min AS minutes FROM ledger.clock WHERE witness = 'ticket' ORDER BY base`,
    )
    expect(clocks).toEqual([
      { source: 'ticket:k', base: 'OLD MILL', minutes: 60 * late },
      { source: 'ticket:k', base: 'TARN FLAT', minutes: 0 },
    ])
    const [loads] = await warehouse.rows(
      'SELECT count(*) AS loads, count(*) FILTER (len(witnesses) = 2) AS told_twice FROM ledger.load',
    )
    expect(loads).toEqual({ loads: 23, told_twice: 23 })
    const subjects = await warehouse.rows(
      `SELECT DISTINCT subject FROM ledger.finding WHERE finding = 'clock-offset'`,
    )
    expect(subjects).toEqual([{ subject: 'N801ZY ticket:k at OLD MILL' }])
  })

  it('one fill at the other base is no fill of this one, near as it may lie by a wrong hour', async () => {
    const fills: [string, string, number, string][] = [
      ['18:07:00', '19:07:25', 1771, 'Tarn Flat'],
      ['19:06:00', '20:06:45', 1843, 'Tarn Flat'],
      ['20:11:00', '21:08:47', 1803, 'Tarn Flat'],
      ['20:59:00', '21:58:01', 1761, 'Tarn Flat'],
      ['22:02:00', '22:59:50', 1760, 'Old Mill'],
    ]
    const warehouse = await emptyHouse()
    await put(
      warehouse,
      fills.flatMap(([ticket, controller, volume, base]) => [
        line('load', 'ticket:k', `2026-07-06T${ticket}Z`, { volume, base }),
        line('load', 'controller:c', `2026-07-06T${controller}Z`, { volume }),
      ]),
    )
    await match(warehouse, 'all')
    const loads = await warehouse.rows(
      'SELECT volume_gal, len(witnesses) AS hands FROM ledger.load ORDER BY load',
    )
    expect(loads).toEqual(fills.map(([, , volume]) => ({ volume_gal: volume, hands: 2 })))
  })

  it('where all are late, a day of one fill at each is told by both', async () => {
    const all = turns([8, 2, 8, 2], 0).map((one) =>
      one.witness === 'ticket' ? { ...one, start: one.start + 3600, end: one.end + 3600 } : one,
    )
    const warehouse = await emptyHouse()
    await put(warehouse, all)
    await match(warehouse, 'all')
    expect(
      await warehouse.rows(
        `SELECT DISTINCT offset_min AS minutes FROM ledger.clock WHERE witness = 'ticket'`,
      ),
    ).toEqual([{ minutes: 60 }])
  })
})

describe('two clocks an hour apart, of which nobody says which is right', () => {
  it('a day of one load takes the difference of the days around', async () => {
    for (const late of [1, -1]) {
      const days = [busy(late), busy(late), single(late), busy(late)]
      expect(await matched(days)).toEqual({ once: true, minutes: days.map(() => 60 * late) })
    }
  })

  it('the nearest days are heard where a clock was set wrong on the way', async () => {
    const days = [busy(0), single(0), busy(0), single(0), busy(1), single(1), busy(1), single(1), single(1)]
    expect(await matched(days)).toEqual({ once: true, minutes: days.map(({ late }) => 60 * late) })
  })

  it('and a day that only one of them tells of is read by it too', async () => {
    const days: Day[] = [busy(1), busy(1), { ...busy(1), isUnseen: true }, busy(1)]
    expect(await matched(days)).toEqual({ once: true, minutes: [60, 60, 60, 60] })
  })

  it('an hour that only one day tells of is not borrowed by a day that fits as it is', async () => {
    const days = [busy(1), single(0), busy(0), single(0)]
    expect(await matched(days)).toEqual({ once: true, minutes: [60, 0, 0, 0] })
  })

  it('a clock to five minutes that may read 58 or 62 minutes late reads one hour late', async () => {
    const seen: [string, number][] = [
      ['16:06:41', 3551],
      ['17:08:30', 1918],
      ['17:12:56', 1966],
      ['18:00:42', 1018],
      ['18:54:45', 2090],
      ['19:13:25', 1926],
      ['21:46:28', 3833],
      ['22:52:44', 933],
      ['22:58:27', 1026],
      ['23:07:35', 1000],
    ]
    const written: [string, number | null][] = [
      ['17:10', 3550],
      ['18:10', 1900],
      ['19:55', 2050],
      ['20:15', 1900],
      ['22:45', 3900],
      ['23:50', null],
      ['23:55', 1000],
    ]
    const warehouse = await emptyHouse()
    await put(warehouse, [
      ...seen.map(([at, volume]) => line('drop', 'controller:c', at, { volume })),
      ...written.map(([at, volume]) => line('drop', 'crew:d', `${at}:00`, { volume })),
      line('drop', 'crew:d', '2026-07-05T00:00:00Z', { volume: 1000 }),
      line('drop', 'crew:d', '2026-07-05T00:05:00Z', { volume: 1000 }),
    ])
    await match(warehouse, 'all')
    const clocks = await warehouse.rows<{ minutes: number }>(
      'SELECT offset_min AS minutes FROM ledger.clock ORDER BY source',
    )
    expect(clocks.map(({ minutes }) => minutes)).toEqual([0, 60])
  })
})
