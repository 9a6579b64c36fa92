import { describe, expect, it } from 'vitest'
import { match } from '../../src/matching/index.ts'
import { emptyHouse, line, put } from './house.ts'

type Line = ReturnType<typeof line>

const at = (day: number, minutes: number): string =>
  new Date(Date.UTC(2026, 6, 4 + day, 15, 0, 20) + minutes * 60_000).toISOString()

/** When each of a day's sorties begins, minutes: no rhythm in it, so that no other hour fits as well. */
const begins = [0, 75, 180, 240, 345]
const hands = {
  controller: 'controller:c',
  crew: 'crew:d',
  ticket: 'ticket:k',
  tracker: 'tracker:f',
  log: 'crew:l',
} as const
type Name = keyof typeof hands

/** One day of sorties: a load, a flight of 50 minutes and two drops, as these hands tell them, so many minutes late. */
function day(number: number, late: Partial<Record<Name, number>>, sorties = begins.length): Line[] {
  return begins.slice(0, sorties).flatMap((begin, sortie) =>
    (Object.entries(late) as [Name, number][]).flatMap(([name, minutes]) => {
      const told = (minute: number): string => at(number, begin + minute + minutes)
      const source = hands[name]
      const load = line('load', source, told(0), { volume: 2000 })
      const flight = line('flight', source, told(8), { until: told(58) })
      const drops = [25, 31].map((minute, part) =>
        line('drop', source, told(minute), { volume: 900 + 40 * sortie + 25 * part }),
      )
      if (name === 'ticket') return [load]
      if (name === 'tracker' || name === 'log') return [flight]
      return name === 'crew' ? drops : [load, ...drops]
    }),
  )
}

/** Minutes late of each source by day, those in time left out. */
async function clocksOf(lines: readonly Line[]): Promise<Record<string, number>> {
  const warehouse = await emptyHouse()
  await put(warehouse, lines)
  await match(warehouse, 'all')
  const rows = await warehouse.rows<{ source: string; day: string; minutes: number }>(
    `SELECT source, strftime(started_at - INTERVAL 4 HOUR, '%d') AS day, offset_min AS minutes
     FROM ledger.clock WHERE offset_min <> 0 ORDER BY day, source`,
  )
  return Object.fromEntries(rows.map((row) => [`${row.day} ${row.source}`, row.minutes]))
}

describe('drops happen in flight, loads on the ground', () => {
  it('a tracker that alone tells another hour is late, and not everyone else early', async () => {
    const clocks = await clocksOf(day(0, { controller: 0, crew: 0, ticket: 0, tracker: 60, log: 0 }))
    expect(clocks).toEqual({ '04 tracker:f': 60 })
  })

  it('without a flight log beside it too', async () => {
    const clocks = await clocksOf(day(0, { controller: 0, crew: 0, ticket: 0, tracker: -60 }))
    expect(clocks).toEqual({ '04 tracker:f': -60 })
  })

  it('against two, the tracker reads the common clock', async () => {
    const clocks = await clocksOf(day(0, { controller: 0, crew: 0, tracker: 60 }))
    expect(clocks).toEqual({ '04 controller:c': -60, '04 crew:d': -60 })
  })

  it('a controller that has no other witness of drops is seen to write local time', async () => {
    const clocks = await clocksOf(day(0, { controller: -360, tracker: 0 }))
    expect(clocks).toEqual({ '04 controller:c': -360 })
  })

  it.each([
    ['controller', { controller: 60, crew: 0, tracker: 0 }, { '04 controller:c': 60 }],
    ['crew', { controller: 0, crew: 60, tracker: 0 }, { '04 crew:d': 60 }],
  ])('of two that differ by an hour the flights say that the %s is late', async (_, late, want) => {
    expect(await clocksOf(day(0, late))).toEqual(want)
  })

  it('a crew that wrote both its sheets an hour early is early in both', async () => {
    const clocks = await clocksOf(day(0, { crew: -60, tracker: 0, log: -60 }))
    expect(clocks).toEqual({ '04 crew:d': -60, '04 crew:l': -60 })
  })

  it.each([
    ['the controller', { controller: 60, crew: 0, ticket: 0, tracker: 0, log: 0 }, { '04 controller:c': 60 }],
    ['the crew', { controller: 0, crew: 60, ticket: 0, tracker: 0, log: 0 }, { '04 crew:d': 60 }],
    ['the controller, without the crew', { controller: 60, crew: 0, tracker: 0 }, { '04 controller:c': 60 }],
    ['nobody', { controller: 0, crew: 0, ticket: 0, tracker: 0, log: 0 }, {}],
  ])('on a day of one load and its two drops %s is late', async (_, late, want) => {
    expect(await clocksOf(day(0, late, 1))).toEqual(want)
  })

  /** A load, a flight of half an hour and one drop, of a controller and a crew that read so many minutes late. */
  const oneDrop = (number: number, one: number, other: number): Line[] => [
    line('load', hands.ticket, at(number, 0), { volume: 2000 }),
    line('load', hands.controller, at(number, one), { volume: 2000 }),
    line('flight', hands.tracker, at(number, 8), { until: at(number, 38) }),
    line('flight', hands.crew, at(number, 8 + other), { until: at(number, 38 + other) }),
    line('drop', hands.controller, at(number, 20 + one), { volume: 1990 }),
    line('drop', hands.crew, at(number, 20 + other), { volume: 2000 }),
  ]
  const inTime = { controller: 0, crew: 0, ticket: 0, tracker: 0 }

  it.each([
    ['the controller', 60, 0, 'controller:c'],
    ['the crew', 0, 60, 'crew:d'],
  ])(
    'on a day of one drop, of whom two others share an event with each, %s is late',
    async (_, one, other, late) => {
      expect(await clocksOf(oneDrop(1, one, other))).toEqual({ [`05 ${late}`]: 60 })
      const between = [...day(0, inTime), ...oneDrop(1, one, other), ...day(2, inTime)]
      expect(await clocksOf(between), 'and between days in time').toEqual({ [`05 ${late}`]: 60 })
    },
  )

  it('two drops of one aircraft an hour apart, each with its load and flight, are two', async () => {
    const sortie = (start: number, source: 'controller' | 'crew') => [
      line('load', hands.ticket, at(0, start), { volume: 2000 }),
      line('flight', hands.tracker, at(0, start + 8), { until: at(0, start + 38) }),
      line('drop', hands[source], at(0, start + 20), { volume: 2000 }),
    ]
    expect(await clocksOf([...sortie(0, 'controller'), ...sortie(60, 'crew')])).toEqual({})
  })

  it('a day of few events takes the hour of its neighbour, and a day that fits does not', async () => {
    const clocks = await clocksOf([
      ...day(0, { controller: 0, crew: 0, ticket: 0, tracker: 60, log: 0 }),
      ...day(1, { controller: 0, crew: 0, ticket: 0, tracker: 60, log: 0 }, 1),
      ...day(2, { controller: 0, crew: 0, ticket: 0, tracker: 0, log: 0 }, 1),
    ])
    expect(clocks).toEqual({ '04 tracker:f': 60, '05 tracker:f': 60 })
  })
})

describe('without a controller', () => {
  const withCrew = (minutes: number): Partial<Record<Name, number>> => ({
    crew: minutes,
    ticket: 0,
    tracker: 0,
  })
  const as = (aircraft: string, lines: readonly Line[]): Line[] => lines.map((one) => ({ ...one, aircraft }))

  it('crews of other aircraft that are an hour late lend nothing to one whose drops fit its flights', async () => {
    const clocks = await clocksOf([
      ...as('N802ZY', day(0, withCrew(60))),
      ...as('N803ZY', day(0, withCrew(60))),
      ...as('N801ZY', [...day(0, withCrew(0), 1), ...day(1, withCrew(0))]),
    ])
    expect(clocks).toEqual({ '04 crew:d': 60 })
  })

  it('a day of one sortie takes the hour of the days around, unless the flights speak against it', async () => {
    const clocks = await clocksOf([
      ...day(0, withCrew(60)),
      ...day(1, withCrew(60), 1),
      ...day(2, withCrew(0), 1),
      ...day(3, withCrew(60)),
    ])
    expect(clocks).toEqual({ '04 crew:d': 60, '05 crew:d': 60, '07 crew:d': 60 })
  })

  /** Fills of a ticket so many minutes late, and the flight of an hour after each. */
  const filled = (late: number): Line[] =>
    [0, 82, 160, 247, 325].flatMap((begin) => [
      line('load', hands.ticket, at(0, begin + late), { volume: 2000 }),
      line('flight', hands.tracker, at(0, begin + 6), { until: at(0, begin + 66) }),
    ])

  it.each([-60, 60, 0])('tickets that are %i min late say so by fills in the air', async (late) => {
    expect(await clocksOf(filled(late))).toEqual(late === 0 ? {} : { '04 ticket:k': late })
  })

  it('days of few fills decide together', async () => {
    const fewFills = (late: number): Line[] =>
      [0, 1, 2, 3].flatMap((number) =>
        [0, 135 + 7 * number, 305 + 13 * number].flatMap((begin) => [
          line('load', hands.ticket, at(number, begin + late), { volume: 2000 }),
          line('flight', hands.tracker, at(number, begin + 6), { until: at(number, begin + 66) }),
        ]),
      )
    const days = ['04', '05', '06', '07']
    for (const late of [-60, 60])
      expect(await clocksOf(fewFills(late))).toEqual(
        Object.fromEntries(days.map((number) => [`${number} ticket:k`, late])),
      )
    expect(await clocksOf(fewFills(0))).toEqual({})
  })

  it('fills that all lie on the ground stand as they are written', async () => {
    const told = filled(0).filter((one) => one.kind === 'load' || one.start > Date.parse(at(0, 240)) / 1000)
    expect(await clocksOf(told)).toEqual({})
  })
})

describe('no hour is made of what is missing', () => {
  const full = day(0, { controller: 0, crew: 0, ticket: 0, tracker: 0, log: 0 })
  it.each<[string, (one: Line, place: number) => boolean]>([
    [
      'the tracker missed the morning',
      (one) => one.source !== 'tracker:f' || one.start > Date.parse(at(0, 150)) / 1000,
    ],
    [
      'nobody told of the morning flights',
      (one) => one.kind !== 'flight' || one.start > Date.parse(at(0, 150)) / 1000,
    ],
    ['every other flight is missing', (one) => one.kind !== 'flight' || Math.floor(one.start / 60) % 2 === 0],
    [
      'the drops of the afternoon are missing',
      (one) => one.kind !== 'drop' || one.start < Date.parse(at(0, 150)) / 1000,
    ],
  ])('%s', async (_, isTold) => {
    const told = full.filter(isTold)
    expect(told.length).toBeLessThan(full.length)
    expect(await clocksOf(told)).toEqual({})
  })
})

describe('an aircraft flies but once at a time', () => {
  const flight = (source: string, off: number, on: number): Line =>
    line('flight', source, at(0, off), { until: at(0, on) })

  it('so one flight told an hour apart is one, where the two would overlap', async () => {
    const told = [flight('tracker:f', 60, 128), flight('crew:l', 2, 67)]
    expect(await clocksOf(told)).toEqual({ '04 crew:l': -60 })
  })

  it.each([
    ['follow each other', [flight('tracker:f', 60, 100), flight('crew:l', 2, 42)]],
    ['overlap by less than clerks round', [flight('tracker:f', 60, 128), flight('crew:l', 0, 62)]],
    ['are of other lengths', [flight('tracker:f', 60, 90), flight('crew:l', 0, 68)]],
    ['begin at no whole hour from each other', [flight('tracker:f', 80, 180), flight('crew:l', 0, 100)]],
  ])('two that %s are two', async (_, told) => {
    expect(await clocksOf(told)).toEqual({})
  })
})
