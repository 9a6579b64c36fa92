import type { UsageHistory } from '../statistics/index.ts'
import type { Warehouse } from '../warehouse/index.ts'

/** Use of every tank on every day up to a day, one matrix (tanks × days, row-major) for each counter and door. */
export interface FleetHistory extends UsageHistory {
  tanks: readonly string[]
  /** By counter, or `door-cycles door-N`; `counts` is the matrix of `openings`. NaN before a tank's first day on record. */
  matrices: ReadonlyMap<string, Float64Array>
}

export const courseName = (counter: string, position: string | null): string =>
  counter === 'door-cycles' ? `${counter} ${position}` : counter

/** Reads the history up to `lastDay` (day number, included); null when nothing was counted. */
export async function readHistory(warehouse: Warehouse, lastDay: number): Promise<FleetHistory | null> {
  const read = await warehouse.columns(await warehouse.readStage('maintenance/history'))
  if (read.count === 0) return null
  const tank = read.text('tank') as string[]
  const counter = read.text('counter') as string[]
  const door = read.text('door') as string[]
  const day = read.numbers('day')
  const amount = read.numbers('amount')
  const firstDays = new Map<string, number>()
  let firstDay = Number.POSITIVE_INFINITY
  for (let i = 0; i < read.count; i++) {
    firstDays.set(tank[i]!, Math.min(firstDays.get(tank[i]!) ?? Number.POSITIVE_INFINITY, day[i]!))
    firstDay = Math.min(firstDay, day[i]!)
  }
  const tanks = [...firstDays.keys()]
  const rowOf = new Map(tanks.map((name, row) => [name, row]))
  const days = lastDay - firstDay + 1
  const blank = (): Float64Array => {
    const matrix = new Float64Array(tanks.length * days)
    tanks.forEach((name, row) => {
      matrix.fill(Number.NaN, row * days, row * days + firstDays.get(name)! - firstDay)
    })
    return matrix
  }
  const matrices = new Map<string, Float64Array>([['openings', blank()]])
  for (let i = 0; i < read.count; i++) {
    const name = courseName(counter[i]!, door[i]!)
    let matrix = matrices.get(name)
    if (!matrix) {
      matrix = blank()
      matrices.set(name, matrix)
    }
    matrix[rowOf.get(tank[i]!)! * days + day[i]! - firstDay]! += amount[i]!
  }
  fillMissingDoors(matrices, tanks.length, days)
  return { tanks, units: tanks.length, days, firstDay, counts: matrices.get('openings')!, matrices }
}

/** A tank without a door of that number lends its openings, since a future of one tank is made from days of all. */
function fillMissingDoors(matrices: ReadonlyMap<string, Float64Array>, units: number, days: number): void {
  const openings = matrices.get('openings')!
  for (const [name, matrix] of matrices) {
    if (!name.startsWith('door-cycles ')) continue
    for (let unit = 0; unit < units; unit++) {
      const own = matrix.subarray(unit * days, (unit + 1) * days)
      if (!own.some((value) => value > 0)) own.set(openings.subarray(unit * days, (unit + 1) * days))
    }
  }
}
