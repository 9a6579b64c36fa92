import type { Events, Interval, World } from './truth.ts'

export interface TankCycle {
  item: string
  counter: string
  baseline: number
  /** Events after the baseline, whoever wrote them down, and also those nobody did. */
  happened: number
  total: number
}

interface Tick {
  at: number
  tank: string
  counter: string
  amount: number
  /** Doors that it moved; null for what the whole tank counts. */
  doors: number[] | null
}

const holds = (interval: Interval, at: number): boolean =>
  interval.on <= at && (interval.off === null || at < interval.off)

/** Everything that any counter counts, as ticks of a tank's counters and of its doors. */
function ticksOf(world: World, events: Events): Tick[] {
  const ticks: Tick[] = []
  for (const { at, tank, openings, doors, fluid, volume_gal, purpose } of events.drops) {
    ticks.push({ at, tank, counter: 'openings', amount: openings, doors: null })
    ticks.push({ at, tank, counter: 'door-cycles', amount: openings, doors })
    if (fluid === 'retardant' && volume_gal > 0)
      ticks.push({ at, tank, counter: 'retardant-openings', amount: openings, doors: null })
    if (purpose === 'emergency')
      ticks.push({ at, tank, counter: 'emergency-releases', amount: 1, doors: null })
  }
  for (const { at, tank } of events.loads) ticks.push({ at, tank, counter: 'fills', amount: 1, doors: null })
  for (const { off, tank, airborne_hours } of events.flights)
    ticks.push({ at: off, tank, counter: 'mounted-hours', amount: airborne_hours, doors: null })
  for (const { on, tank } of world.mountings)
    ticks.push({ at: on, tank, counter: 'mountings', amount: 1, doors: null })
  return ticks
}

/**
 * Counts per item and counter at the season's end. What sits at a door counts that door's cycles and the
 * tank's counters while it is fitted; everything else counts the tank's. Ticks at or before a baseline's
 * moment are inside it. Items appear with the counters that have a baseline or at least one tick.
 */
export function cycleAnswers(world: World, events: Events): TankCycle[] {
  const byTank = new Map<string, Tick[]>()
  for (const tick of ticksOf(world, events)) {
    const own = byTank.get(tick.tank)
    if (own) own.push(tick)
    else byTank.set(tick.tank, [tick])
  }
  const baselines = new Map(world.baselines.map((one) => [`${one.item} ${one.counter}`, one]))
  const counts = new Map<string, TankCycle>()
  for (const { item, counter, value } of world.baselines)
    counts.set(`${item} ${counter}`, { item, counter, baseline: value, happened: 0, total: value })
  const add = (item: string, tick: Tick): void => {
    const key = `${item} ${tick.counter}`
    const baseline = baselines.get(key)
    if (baseline && tick.at <= baseline.at) return
    const row = counts.get(key) ?? { item, counter: tick.counter, baseline: 0, happened: 0, total: 0 }
    row.happened += tick.amount
    row.total = row.baseline + row.happened
    counts.set(key, row)
  }
  for (const { serial } of world.tanks)
    for (const tick of byTank.get(serial) ?? []) if (tick.doors === null) add(serial, tick)
  for (const fitting of world.fittings) {
    const door = fitting.position.startsWith('door-') ? Number(fitting.position.slice(5)) : null
    for (const tick of byTank.get(fitting.tank) ?? []) {
      if (!holds(fitting, tick.at)) continue
      if (tick.doors === null || (door !== null && tick.doors.includes(door))) add(fitting.component, tick)
    }
  }
  return [...counts.values()]
}
