import { describe, expect, test } from 'vitest'
import { Step, type Steps, type Tank, type Walked, walk } from '../../src/account/walk.ts'

interface Event {
  load?: number
  drop?: number | null
  offload?: number
  before?: number
  after?: number
  fraction?: number
  commanded?: number
  emergency?: boolean
  ground?: boolean
  overflow?: boolean
  doorsNamed?: boolean
}

const tank: Tank = { capacity_gal: 2000, doors: 4, opensInSequence: false, typical_gal: 500, before: null }
const none = Number.NaN

/** One tank's events in order, a minute apart; the row number is the place in the list. */
function run(events: Event[], on: Tank = tank): Walked {
  const column = (of: (event: Event, index: number) => number): Float64Array => Float64Array.from(events, of)
  const steps: Steps = {
    count: events.length,
    tank: column(() => 0),
    step: column((e) =>
      e.load !== undefined ? Step.Load : e.offload !== undefined ? Step.Offload : Step.Drop,
    ),
    row: column((_, index) => index),
    time_ms: column((_, index) => index * 60_000),
    volume: column((e) => e.load ?? e.offload ?? e.drop ?? none),
    written: column((e) => e.load ?? none),
    gauge_before: column((e) => e.before ?? none),
    gauge_after: column((e) => e.after ?? none),
    fraction: column((e) => e.fraction ?? none),
    commanded: column((e) => e.commanded ?? none),
    isOverflow: column((e) => (e.overflow ? 1 : 0)),
    isEmergency: column((e) => (e.emergency ? 1 : 0)),
    isGroundTest: column((e) => (e.ground ? 1 : 0)),
    isDoorsNamed: column((e) => (e.doorsNamed ? 1 : 0)),
  }
  return walk(steps, [on])
}

describe('balance of a tank', () => {
  test('keeps the residual against the gauge', () => {
    const { cycles } = run([{ load: 2000 }, { drop: 1950 }, { load: 1960, before: 40, after: 2000 }])
    expect(cycles[0]).toMatchObject({ dropped: 1950, levelAtClose: 50, residual: 10, inferred: 0 })
    expect(cycles[1]).toMatchObject({ levelBefore: 50, levelAfter: 2000 })
  })

  test('infers as many openings as the missing volume needs', () => {
    const quarters = [{ load: 2000 }, { drop: 500 }, { drop: 500 }, { drop: 500 }, { drop: 500 }]
    const { cycles } = run([...quarters, { load: 2000 }, { drop: 500 }, { load: 2000, before: 0 }])
    expect(cycles[1]).toMatchObject({ missing: 1500, inferred: 3 })
  })

  test('as large as those of the load that are on record, else as those of the tank', () => {
    const on = { ...tank, typical_gal: 1000 }
    const inferredAfter = (...drops: Event[]): number | undefined =>
      run([{ load: 2000 }, ...drops, { load: 2000, before: 0 }], on).cycles[0]?.inferred
    expect(inferredAfter()).toBe(2)
    expect(inferredAfter({ drop: 500 }), 'quarters').toBe(3)
    expect(inferredAfter({ drop: 400 }, { drop: 500 }, { drop: 520 })).toBe(1)
    expect(inferredAfter({ drop: 20 }), 'a drop within the noise says nothing').toBe(2)
    expect(inferredAfter({ drop: 0, ground: true }), 'nor does a ground test').toBe(2)
  })

  test('noise below 8 % of the capacity is no release, and more is', () => {
    expect(run([{ load: 2000 }, { drop: 1841 }, { load: 2000, before: 0 }]).cycles[0]).toMatchObject({
      inferred: 0,
      residual: 159,
    })
    expect(run([{ load: 2000 }, { drop: 1839 }, { load: 2000, before: 0 }]).cycles[0]).toMatchObject({
      inferred: 1,
      residual: 161,
    })
  })

  test('rounded volumes do not add up to a missing load over many cycles', () => {
    const events = Array.from({ length: 40 }, (): Event[] => [{ load: 2000 }, { drop: 2050 }]).flat()
    const { cycles } = run(events)
    expect(cycles.every((cycle) => cycle.short === 0 && cycle.inferred === 0)).toBe(true)
  })

  test('more dropped than loaded means that a load is missing', () => {
    const { cycles, drops } = run([
      { load: 2000 },
      { drop: 2000 },
      { drop: 1000 },
      { drop: 900 },
      { load: 2000 },
    ])
    expect(cycles[0]).toMatchObject({ short: 1900, levelAtClose: 0 })
    expect(drops.map((drop) => [drop.row, drop.isLoadMissing])).toEqual([
      [2, true],
      [3, true],
    ])
  })

  test('an emergency empties the tank, whatever its volume says', () => {
    const { cycles } = run([{ load: 2000 }, { drop: 1500, emergency: true }, { load: 2000 }])
    expect(cycles[0]).toMatchObject({ levelAtClose: 0, inferred: 0 })
    const unknown = run([{ load: 2000 }, { drop: 500 }, { drop: null, emergency: true }, { load: 2000 }])
    expect(unknown.drops[0]).toMatchObject({ row: 2, volume: 1500 })
  })

  test('an unknown volume is its share of the load, at most what is left', () => {
    const { drops } = run([
      { load: 1800 },
      { drop: null, fraction: 0.5 },
      { drop: 600 },
      { drop: null, fraction: 0.5 },
    ])
    expect(drops.map((drop) => drop.volume)).toEqual([900, 300])
    expect(run([{ drop: null, fraction: 0.5 }]).drops[0]?.volume).toBe(1000)
  })

  test('without a share it is what the balance leaves, if it is the only unknown', () => {
    const one = run([{ load: 2000 }, { drop: 700 }, { drop: null }, { load: 1500, before: 500 }])
    expect(one.drops[0]).toMatchObject({ row: 2, volume: 800 })
    expect(one.cycles[0]).toMatchObject({ dropped: 1500, inferred: 0, residual: 0 })
    const two = run([{ load: 2000 }, { drop: null }, { drop: null }, { load: 2000, before: 0 }])
    expect(two.drops.map((drop) => drop.volume)).toEqual([none, none])
    expect(two.cycles[0]?.inferred).toBe(0)
  })

  test('a ground test never takes a share', () => {
    expect(run([{ load: 2000 }, { drop: null, fraction: 1, ground: true }]).drops).toEqual([])
  })

  test('fluid taken out on the ground is no release', () => {
    expect(run([{ load: 2000 }, { offload: 2000 }, { load: 2000 }]).cycles[0]).toMatchObject({
      offloaded: 2000,
      inferred: 0,
    })
  })

  test('a wild ticket infers nothing, and is an overfill', () => {
    const { cycles } = run([{ load: 2000 }, { drop: 1500 }, { load: 20000 }])
    expect(cycles[0]?.inferred).toBe(0)
    expect(cycles[1]).toMatchObject({ levelAfter: 2000, isOverfill: true })
  })

  test('drops of unknown volume made room: the next load is no overfill, and nothing is inferred', () => {
    const { cycles } = run([{ load: 1900 }, { drop: null }, { drop: null }, { load: 1900 }])
    expect(cycles[0]).toMatchObject({ inferred: 0 })
    expect(cycles[1]).toMatchObject({ isOverfill: false, levelAfter: 2000 })
  })

  test('overfill: marked, or above 102 % on the gauge', () => {
    expect(run([{ load: 1000, overflow: true }]).cycles[0]?.isOverfill).toBe(true)
    expect(run([{ load: 2000, after: 2041 }]).cycles[0]?.isOverfill).toBe(true)
    expect(run([{ load: 2000, after: 2039 }]).cycles[0]?.isOverfill).toBe(false)
  })

  test('a command above the level left is marked', () => {
    const { drops } = run([{ load: 2000 }, { drop: 1500, commanded: 1500 }, { drop: 500, commanded: 1000 }])
    expect(drops.map((drop) => [drop.row, drop.isCommandAboveLevel])).toEqual([[2, true]])
  })

  test('doors that open one after another: each share moves the doors that it needs', () => {
    const inSequence = { ...tank, opensInSequence: true }
    const { drops } = run(
      [{ load: 2000 }, { drop: 510 }, { drop: 490 }, { drop: 1000 }, { load: 2000 }, { drop: 2000 }],
      inSequence,
    )
    expect(drops.map((drop) => drop.doors)).toEqual([
      { first: 1, last: 1 },
      { first: 2, last: 2 },
      { first: 3, last: 4 },
      { first: 1, last: 4 },
    ])
  })
})
