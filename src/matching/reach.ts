import { oneOf, quote } from '../values/sql/write.ts'
import type { Warehouse } from '../warehouse/index.ts'
import type { Touched } from './touched.ts'

const day = 86_400

/**
 * How far a change reaches, in raw time: records are matched anew within a day of it, clocks within two (they differ by
 * up to 14 h, and blocks last up to 30 h), and what these look at is loaded. Where days are judged together, a week more.
 */
export const reaches = {
  near: { match: day, clock: 2 * day, load: 5 * day },
  far: { match: 9 * day, clock: 9 * day, load: 21 * day },
} as const

export const longestBlock = 30 * 3600

export interface Reach {
  readonly matchFrom: number
  readonly matchTo: number
  readonly clockFrom: number
  readonly clockTo: number
  readonly loadFrom: number
  readonly loadTo: number
}

const whole: Reach = {
  matchFrom: Number.NEGATIVE_INFINITY,
  matchTo: Number.POSITIVE_INFINITY,
  clockFrom: Number.NEGATIVE_INFINITY,
  clockTo: Number.POSITIVE_INFINITY,
  loadFrom: Number.NEGATIVE_INFINITY,
  loadTo: Number.POSITIVE_INFINITY,
}

/** Reaches of the touched stretches, by aircraft. Stretches that see each other's days are one. */
export function reachesOf(
  touched: readonly Touched[],
  wholeAircraft: ReadonlySet<string>,
): Map<string, Reach[]> {
  const byAircraft = new Map<string, Touched[]>()
  for (const one of touched) {
    const list = byAircraft.get(one.aircraft)
    if (list) list.push(one)
    else byAircraft.set(one.aircraft, [one])
  }
  const result = new Map<string, Reach[]>()
  for (const name of wholeAircraft) result.set(name, [whole])
  for (const [aircraft, list] of byAircraft) {
    if (wholeAircraft.has(aircraft)) continue
    const merged: { from: number; to: number; isFar: boolean }[] = []
    for (const one of [...list].sort((a, b) => a.from - b.from || a.to - b.to)) {
      const last = merged.at(-1)
      const gap = 2 * (one.isFar || last?.isFar ? reaches.far : reaches.near).load
      if (last && one.from - last.to <= gap) {
        last.to = Math.max(last.to, one.to)
        last.isFar ||= one.isFar
      } else merged.push({ ...one })
    }
    result.set(
      aircraft,
      merged.map(({ from, to, isFar }) => {
        const reach = isFar ? reaches.far : reaches.near
        return {
          matchFrom: from - reach.match,
          matchTo: to + reach.match,
          clockFrom: from - reach.clock,
          clockTo: to + reach.clock,
          loadFrom: from - reach.load,
          loadTo: to + reach.load,
        }
      }),
    )
  }
  return result
}

/** The stretches in milliseconds that the database's calendar can hold. */
const ms = (seconds: number): number =>
  Math.round(1000 * Math.max(-60_000_000_000, Math.min(100_000_000_000, seconds)))
const moment = (seconds: number): string => `make_timestamp(${ms(seconds)}000)`

/** So many names are asked for one by one. */
const mostNames = 200
/** Groups of rows are left out by so many. */
const mostOfGroups = 50

/**
 * SQL that holds, beside others, for all that a reach loads, or whose clock it judges: in constants, which the reader of a
 * table asks before it reads the rest of a row.
 * @param from column of the begin @param to of the end
 */
export function nearSql(
  reached: ReadonlyMap<string, readonly Reach[]>,
  what: 'load' | 'clock',
  from: string,
  to = from,
): string {
  return `${whenSql(reached, what, from, to)} AND ${whoseSql(reached.keys(), 'aircraft')}`
}

/** The same of time alone. @param beyond so many seconds farther */
export function whenSql(
  reached: ReadonlyMap<string, readonly Reach[]>,
  what: 'load' | 'clock',
  from: string,
  to: string,
  beyond = 0,
): string {
  const all = [...reached.values()].flat()
  const first = Math.min(...all.map((one) => (what === 'load' ? one.loadFrom : one.clockFrom)))
  const last = Math.max(...all.map((one) => (what === 'load' ? one.loadTo : one.clockTo)))
  return `${from} <= ${moment(last + beyond)} AND ${to} >= ${moment(first - beyond)}`
}

/**
 * The same of the aircraft alone: the first and the last of them and, unless they are many, each, by which whole groups of rows
 * are left out; the list is asked of what remains before the rest of a row is read.
 */
export function whoseSql(aircraft: Iterable<string>, column: string): string {
  // As the database compares texts: byte by byte.
  const names = [...new Set(aircraft)].sort((a, b) => Buffer.compare(Buffer.from(a), Buffer.from(b)))
  if (names.length === 0) return 'false'
  const between = `${column} BETWEEN ${quote(names[0]!)} AND ${quote(names.at(-1)!)}`
  if (names.length > mostNames) return between
  const each = names.map((name) => `${column} = ${quote(name)}`).join(' OR ')
  return `${between} AND ${oneOf(column, names)}${names.length > mostOfGroups ? '' : ` AND (${each})`}`
}

/** Writes `match_range`: aircraft with what to load and which clocks to judge anew. */
export async function writeReaches(
  warehouse: Warehouse,
  reached: ReadonlyMap<string, readonly Reach[]>,
): Promise<void> {
  await warehouse.run(`CREATE OR REPLACE TEMP TABLE match_range(
    aircraft VARCHAR, load_from TIMESTAMP, load_to TIMESTAMP, clock_from TIMESTAMP, clock_to TIMESTAMP)`)
  const rows = [...reached].flatMap(([aircraft, list]) => list.map((reach) => ({ aircraft, ...reach })))
  await warehouse.append('temp.match_range', {
    aircraft: rows.map((row) => row.aircraft),
    load_from: rows.map((row) => ms(row.loadFrom)),
    load_to: rows.map((row) => ms(row.loadTo)),
    clock_from: rows.map((row) => ms(row.clockFrom)),
    clock_to: rows.map((row) => ms(row.clockTo)),
  })
}

export function isWithin(
  reached: readonly Reach[],
  what: 'match' | 'clock',
  from: number,
  to: number,
): boolean {
  return reached.some((reach) =>
    what === 'match'
      ? from <= reach.matchTo && to >= reach.matchFrom
      : from <= reach.clockTo && to >= reach.clockFrom,
  )
}
