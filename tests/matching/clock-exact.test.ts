import { describe, expect, it } from 'vitest'
import { hearClocks } from '../../src/matching/clock-judgement.ts'
import { match } from '../../src/matching/index.ts'
import { emptyHouse, line, put } from './house.ts'
import { observationsOf } from './season.ts'

type Line = ReturnType<typeof line>

const at = (minutes: number): string =>
  new Date(Date.UTC(2026, 6, 11, 16) + Math.round(minutes * 60) * 1000).toISOString()
const toFive = (minutes: number): number => 5 * Math.round(minutes / 5)

/** Minutes by which each source reads late, those in time left out. */
async function clocksOf(lines: readonly Line[]): Promise<Record<string, number>> {
  const warehouse = await emptyHouse()
  await put(warehouse, lines)
  await match(warehouse, 'all')
  const rows = await warehouse.rows<{ source: string; minutes: number }>(
    'SELECT source, offset_min AS minutes FROM ledger.clock WHERE offset_min <> 0 ORDER BY source',
  )
  return Object.fromEntries(rows.map((row) => [row.source, row.minutes]))
}

/**
 * Four sorties of a load, a flight and two drops. The tracker, which has the common time, tells of flights alone, the
 * ticket of loads alone: what the controller reads is known to the second against the ticket, and against the tracker
 * only through the crew, who write to five minutes.
 * @param late minutes by which each reads late
 */
function throughFive(late: { controller: number; ticket: number }): Line[] {
  return [19, 93, 177, 268].flatMap((loaded) => {
    const off = loaded + 6
    const drops = [28, 35].map((after) => loaded + after)
    return [
      line('load', 'controller:c', at(loaded + late.controller), { volume: 2990 }),
      line('load', 'ticket:k', at(loaded + late.ticket), { volume: 2990 }),
      line('flight', 'tracker:f', at(off), { until: at(loaded + 58) }),
      line('flight', 'crew:d', at(toFive(off)), { until: at(toFive(loaded + 58)) }),
      ...drops.map((drop, part) =>
        line('drop', 'controller:c', at(drop + late.controller), { volume: 1480 + 30 * part }),
      ),
      ...drops.map((drop) => line('drop', 'crew:d', at(toFive(drop)), { volume: 1500 })),
    ]
  })
}

describe('minutes through a clock that is rounded to five', () => {
  it('a ticket that agrees to the second with a late controller is in time, and the controller late by what they differ', async () => {
    expect(await clocksOf(throughFive({ controller: 3.5, ticket: 0 }))).toEqual({ 'controller:c': 3.5 })
  })

  it('the controller is in time where that is nearer', async () => {
    expect(await clocksOf(throughFive({ controller: 0, ticket: -4 }))).toEqual({ 'ticket:k': -4 })
  })

  it('nobody is made to read the common time who is farther from it than five minutes hide', async () => {
    const clocks = await clocksOf(throughFive({ controller: 11, ticket: 7 }))
    expect(clocks['controller:c']! - clocks['ticket:k']!).toBe(4)
    expect(Math.abs(clocks['ticket:k']! - 7)).toBeLessThanOrEqual(2.5)
  })
})

describe('minutes of clocks that agree to the second', () => {
  it('are not told by a third that writes to five minutes, though it shares more events with each', async () => {
    const drops: readonly (readonly [at: number, gallons: number, written: number, isSeen: boolean])[] = [
      [34.45, 2870, 35, true],
      [106.72, 2818, 110, false],
      [195.05, 998, 195, true],
      [196.42, 985, 200, true],
      [196.93, 974, 200, false],
      [280.98, 1479, 285, true],
      [283.9, 1454, 285, true],
    ]
    const sorties: readonly (readonly [loaded: number, off: number, on: number])[] = [
      [8.98, 14.38, 51.07],
      [68.68, 77.17, 121.88],
      [154.37, 165.87, 221.13],
      [257.07, 266.77, 314.07],
    ]
    const lines = [
      ...sorties.flatMap(([loaded, off, on]) => [
        line('load', 'controller:c', at(loaded), { volume: 2890 }),
        line('load', 'ticket:k', at(Math.round(loaded)), { volume: 2900 }),
        line('flight', 'tracker:t', at(off), { until: at(on) }),
        line('flight', 'crew:d', at(Math.round(off)), { until: at(Math.round(on)) }),
      ]),
      ...drops.flatMap(([dropped, volume, written, isSeen]) => [
        line('drop', 'controller:c', at(dropped), { volume }),
        line('drop', 'crew:d', at(written), { volume: 50 * Math.round(volume / 50) }),
        ...(isSeen ? [line('drop', 'tracker:t', at(dropped))] : []),
      ]),
    ]
    expect(await clocksOf(lines)).toEqual({})
  })
})

describe('clocks that drift', () => {
  it('are laid by a drift that their own pairs do not show, where more comes of it', async () => {
    // A crew that gains five minutes over its day, beside a controller to the second; quarters of a load are alike.
    const drops: readonly (readonly [seconds: number, gallons: number, minute: number, written: number])[] = [
      [3403, 187, 56, 200],
      [3528, 192, 60, 200],
      [3775, 179, 64, 200],
      [4252, 189, 72, 200],
      [10_242, 191, 173, 200],
      [10_333, 603, 175, 600],
      [16_406, 737, 275, 750],
      [27_937, 360, 469, 350],
      [37_838, 192, 636, 200],
      [38_043, 195, 639, 200],
      [38_276, 193, 644, 200],
      [38_534, 182, 647, 200],
    ]
    const warehouse = await emptyHouse()
    await put(warehouse, [
      ...drops.map(([seconds, volume]) => line('drop', 'controller:c', at(seconds / 60), { volume })),
      line('drop', 'controller:c', at(34_367 / 60), { volume: 756 }),
      ...drops.map(([, , minute, volume]) => line('drop', 'crew:d', at(minute), { volume })),
      line('drop', 'crew:d', at(476), { volume: 400 }),
    ])
    await match(warehouse, 'all')
    const [told] = await warehouse.rows(
      `SELECT count(*) AS events, count(*) FILTER (len(witnesses) = 2) AS told_twice FROM ledger.drop`,
    )
    expect(told).toEqual({ events: 14, told_twice: 12 })
  })
})

describe('clocks to the second', () => {
  it('an hour apart are an hour apart, though quarters of a load let go three minutes apart fit one another, too', () => {
    const controller: readonly (readonly [number, number])[] = [
      [0, 3775],
      [3679, 1309],
      [3970, 1256],
      [4150, 1231],
      [8405, 3763],
      [12_592, 923],
      [12_780, 859],
      [12_971, 917],
      [13_187, 987],
      [17_540, 939],
      [17_803, 894],
      [18_062, 949],
      [18_354, 880],
    ]
    const tracker = [-3610, 67, 378, 557, 4803, 9000, 9178, 9370, 9577, 13_935, 14_203, 14_459]
    const lines = [
      ...controller.map(([second, volume]) => line('drop', 'controller:c', at(second / 60), { volume })),
      ...tracker.map((second) => line('drop', 'tracker:t', at(second / 60))),
    ]
    const { o, sources } = observationsOf(lines.map((one, obsNo) => ({ ...one, obsNo, truth: [] })))
    const [best] = hearClocks(o, sources)[0]!.evidence[0]!.readings
    expect(best!.pairs).toBe(12)
    expect(Math.abs(best!.offset - 3600)).toBeLessThan(10)
  })
})
