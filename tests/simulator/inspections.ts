import { DAY, HOUR, iso } from './clock.ts'
import { fileOf, type Row, type SeasonFile } from './files.ts'
import type { Random } from './random.ts'
import type { Events, Interval, World } from './truth.ts'

/** One limit of a task, under canonical names. */
const tasks: readonly Record<string, string | number | null>[] = [
  {
    task: 'DH',
    title: 'Door hinge inspection',
    applies_to: 'door',
    counter: 'door-cycles',
    interval: 150,
    tolerance: 10,
  },
  {
    task: 'DH',
    title: 'Door hinge inspection',
    applies_to: 'door',
    counter: 'days',
    interval: '6mo',
    tolerance: 14,
  },
  {
    task: 'SL',
    title: 'Door seal check',
    applies_to: 'seal',
    counter: 'retardant-openings',
    interval: 120,
    tolerance: 8,
  },
  {
    task: 'AO',
    title: 'Actuator overhaul',
    applies_to: 'actuator',
    counter: 'door-cycles',
    interval: 1000,
    tolerance: 0,
  },
  {
    task: 'TW',
    title: 'Tank wash and corrosion check',
    applies_to: 'tank',
    counter: 'retardant-openings',
    interval: 60,
    tolerance: 10,
  },
  {
    task: 'TW',
    title: 'Tank wash and corrosion check',
    applies_to: 'tank',
    counter: 'days',
    interval: 30,
    tolerance: 3,
  },
  {
    task: 'TI',
    title: 'Tank mount inspection',
    applies_to: 'tank',
    counter: 'mounted-hours',
    interval: 100,
    tolerance: 10,
  },
  {
    task: 'HR',
    title: 'Fill hose renewal',
    applies_to: 'hose',
    counter: 'fills',
    interval: 900,
    repeats: 'no',
    tolerance: 0,
  },
  {
    task: 'EA',
    title: 'Emergency accumulator service',
    applies_to: 'emergency accumulator',
    counter: 'days',
    interval: '12mo',
    tolerance: 0,
  },
  {
    task: 'ER',
    title: 'Inspection after an emergency release',
    applies_to: 'tank',
    counter: 'openings',
    triggered_by: 'emergency-release',
    within: 5,
  },
  {
    task: 'OF',
    title: 'Vent check after an overfill',
    applies_to: 'tank',
    counter: 'days',
    triggered_by: 'overfill',
    within: 2,
  },
]

interface Accomplishment {
  task: string
  item: string
  at: number
  reading: number | null
}

/** Moments at which a counter of the item moved, with the running count from its baseline. */
function courseOf(
  world: World,
  events: Events,
  item: string,
  counter: string,
): { at: number; count: number }[] {
  const fitting = world.fittings.filter((one) => one.component === item)
  const isTank = fitting.length === 0
  const spans: (Interval & { tank: string; door: number })[] = isTank
    ? [{ tank: item, on: 0, off: null, door: 0 }]
    : fitting.map((one) => ({ ...one, door: Number(one.position.slice(5)) || 0 }))
  const baseline = world.baselines.find((one) => one.item === item && one.counter === counter)
  let count = baseline?.value ?? 0
  const course = [{ at: baseline?.at ?? world.start, count }]
  for (const drop of events.drops) {
    const span = spans.find(
      (one) => one.tank === drop.tank && one.on <= drop.at && drop.at < (one.off ?? Infinity),
    )
    if (!span) continue
    const counts =
      counter === 'openings' ||
      (counter === 'door-cycles' && drop.doors.includes(span.door)) ||
      (counter === 'retardant-openings' && drop.fluid === 'retardant' && drop.volume_gal > 0)
    if (!counts) continue
    count += drop.openings
    course.push({ at: drop.at, count })
  }
  return course
}

/**
 * The programme and what was done: each counted task was done once before the season, and again at night
 * when its interval was nearly or just over.
 */
function accomplish(world: World, events: Events, random: Random): Accomplishment[] {
  const done: Accomplishment[] = []
  const kinds = new Map(world.components.map((one) => [one.serial, one.kind]))
  const items = [...world.tanks.map((tank) => tank.serial), ...world.components.map((one) => one.serial)]
  for (const { task, applies_to, counter, interval } of tasks) {
    if (typeof interval !== 'number' || !/cycles|openings/.test(String(counter)) || interval >= 900) continue
    for (const item of items) {
      if ((kinds.get(item) ?? 'tank') !== applies_to) continue
      const course = courseOf(world, events, item, String(counter))
      const first = course[0]!
      let last = Math.max(0, first.count - random.whole(0, Math.floor(interval * 0.8)))
      done.push({ task: String(task), item, at: first.at - random.whole(2, 30) * DAY, reading: last })
      for (const { at, count } of course) {
        if (count - last < interval * random.between(0.93, 1.02)) continue
        const night = Math.floor(at / DAY) * DAY + DAY + 9 * HOUR
        const reading = course.findLast((one) => one.at <= night)!.count
        done.push({ task: String(task), item, at: night, reading })
        last = reading
      }
    }
  }
  // Before the records begin only the reading can say how far the count had come.
  for (const tank of world.tanks) {
    const carried = world.baselines.find((one) => one.item === tank.serial && one.counter === 'mounted-hours')
    const reading = carried ? Math.max(0, Math.floor(carried.value - 20)) : null
    done.push({ task: 'TI', item: tank.serial, at: world.start - 40 * DAY, reading })
  }
  return done.sort((a, b) => a.at - b.at)
}

export function inspectionFiles(world: World, events: Events, random: Random): SeasonFile[] {
  const done = accomplish(world, events, random)
  const headers =
    'task,title,repeats,applies_to,counter,interval,threshold,tolerance,early_policy,triggered_by,within'.split(
      ',',
    )
  const rows: Row[] = done.map((one) => ({ ...one, done_at: iso(one.at) }))
  return [
    fileOf('maintenance/task.csv', { format: 'csv', headers }, tasks as Row[]),
    fileOf(
      'maintenance/accomplishment.csv',
      { format: 'csv', headers: ['task', 'item', 'done_at', 'reading'] },
      rows,
    ),
  ]
}
