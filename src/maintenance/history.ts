import type { UsageHistory } from '../statistics/index.ts'
import type { Warehouse } from '../warehouse/index.ts'

/** Use of every tank on every day up to a day, one matrix (tanks × days, row-major) for each counter and door. */
export interface FleetHistory extends UsageHistory {
  tanks: readonly string[]
  /** Row of each tank in the matrices. */
  rowOf: ReadonlyMap<string, number>
  /** By counter, or `door-cycles door-N`; `counts` is the matrix of `openings`. NaN before a tank's first day on record. */
  matrices: ReadonlyMap<string, Float64Array>
  /** Rows of a door's matrix that are openings of a tank without that door. */
  lent: ReadonlyMap<string, ReadonlySet<number>>
}

export const courseName = (counter: string, position: string | null): string =>
  counter === 'door-cycles' ? `${counter} ${position}` : counter

/** Counters of a tank by their number in `history-days.sql`; doors come after them. */
const counters = ['openings', 'retardant-openings', 'emergency-releases', 'fills', 'mounted-hours'] as const
const FIRST_DOOR = 10

/** Reads the history up to `lastDay` (day number, included), which `due_ask` names too; null when nothing was counted. */
export async function readHistory(warehouse: Warehouse, lastDay: number): Promise<FleetHistory | null> {
  await warehouse.run(await warehouse.readStage('maintenance/history'))
  const watched = await warehouse.columns('SELECT tank, first_day FROM history_tank ORDER BY row')
  if (watched.count === 0) return null
  const doors = await warehouse.columns('SELECT door FROM history_door ORDER BY door_no')
  const tanks = watched.text('tank') as string[]
  const firstDays = watched.numbers('first_day')
  const firstDay = firstDays.reduce((least, day) => Math.min(least, day), Number.POSITIVE_INFINITY)
  const days = lastDay - firstDay + 1
  const blank = (): Float64Array => {
    const matrix = new Float64Array(tanks.length * days)
    firstDays.forEach((first, row) => {
      matrix.fill(Number.NaN, row * days, row * days + first - firstDay)
    })
    return matrix
  }
  const courses: (Float64Array | undefined)[] = []
  const read = await warehouse.columns(await warehouse.readStage('maintenance/history-days'))
  const [row, day, course, amount] = ['row', 'day', 'course', 'amount'].map((name) => read.numbers(name)) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ]
  for (let i = 0; i < read.count; i++) {
    courses[course[i]!] ??= blank()
    courses[course[i]!]![row[i]! * days + day[i]! - firstDay]! += amount[i]!
  }
  const matrices = new Map<string, Float64Array>([['openings', courses[0] ?? blank()]])
  courses.forEach((matrix, at) => {
    if (matrix) matrices.set(nameOf(at, doors.text('door') as string[]), matrix)
  })
  const lent = fillMissingDoors(matrices, tanks.length, days)
  const rowOf = new Map(tanks.map((name, at) => [name, at]))
  return {
    tanks,
    rowOf,
    units: tanks.length,
    days,
    firstDay,
    counts: matrices.get('openings')!,
    matrices,
    lent,
  }
}

const nameOf = (course: number, doors: readonly string[]): string =>
  course < FIRST_DOOR ? counters[course]! : courseName('door-cycles', doors[course - FIRST_DOOR]!)

/** A tank without a door of that number lends its openings, since a future of one tank is made from days of all. Gives the rows that were lent. */
function fillMissingDoors(
  matrices: ReadonlyMap<string, Float64Array>,
  units: number,
  days: number,
): ReadonlyMap<string, ReadonlySet<number>> {
  const lent = new Map<string, Set<number>>()
  const openings = matrices.get('openings')!
  for (const [name, matrix] of matrices) {
    if (!name.startsWith('door-cycles ')) continue
    for (let unit = 0; unit < units; unit++) {
      const own = matrix.subarray(unit * days, (unit + 1) * days)
      if (own.some((value) => value > 0)) continue
      own.set(openings.subarray(unit * days, (unit + 1) * days))
      lent.set(name, (lent.get(name) ?? new Set()).add(unit))
    }
  }
  return lent
}
