import type { Warehouse } from '../warehouse/index.ts'
import type { Block } from './blocks.ts'
import type { BlockClock } from './clock-groups.ts'
import { fleetSeconds, Neighbours, neighbourSeconds, type OwnWord, type Speaker } from './clock-neighbours.ts'
import { bases, type Offset, standsAlone } from './clock-offsets.ts'
import type { Source } from './observations.ts'
import { isWithin, longestBlock, type Reach, reaches, whenSql, whoseSql } from './reach.ts'
import type { Touched } from './touched.ts'

const day = 86_400

/** A row of `ledger.clock`, seconds. */
export interface ClockRow {
  readonly aircraft: string
  readonly start: number
  readonly end: number
  readonly offset: number
  readonly basis: Offset['basis']
  /** What its own day said; null where that was nothing. */
  readonly own: OwnWord | null
  /** 1 where its week decides. */
  readonly is_open: number
}

/** What is on record of clocks around the stretches that are judged anew, in the numbers of this run. */
export interface ClockRecord {
  readonly rows: readonly ClockRow[]
  /** Place of each row's aircraft among those of this run; strangers are below 0. */
  readonly aircraft: readonly number[]
  /** Of its source; strangers, of families that are not, come after those of this run. */
  readonly source: readonly number[]
  /** Family of each source, strangers too. */
  readonly familyOf: readonly number[]
  isJudged(row: ClockRow): boolean
}

/** What is on record about the clocks of the sources at hand, as far as the neighbours of neighbours of what was loaded. */
export async function clocksOnRecord(
  warehouse: Warehouse,
  reached: ReadonlyMap<string, readonly Reach[]>,
  aircraft: readonly string[],
  sources: readonly Source[],
): Promise<ClockRecord> {
  await warehouse.run(`CREATE OR REPLACE TEMP TABLE match_near_clock AS
      SELECT coalesce(s.number, ${sources.length} + dense_rank() OVER (ORDER BY s.number IS NULL DESC, c.source, c.base) - 1)::INTEGER AS source,
        f.family, c.aircraft, started_at, ended_at, offset_min, basis, own_min, own_is_strong, own_against,
        is_open
      FROM (FROM ledger.clock WHERE ${nearRecord(reached)}) c
        LEFT JOIN match_source s ON s.source = c.source AND s.base = c.base
        JOIN (SELECT source, min(number) AS family FROM match_source GROUP BY source) f ON f.source = c.source;
    CREATE OR REPLACE TEMP TABLE match_clock_name AS
      SELECT (row_number() OVER (ORDER BY aircraft) - 1)::INTEGER AS number, aircraft
      FROM (SELECT DISTINCT aircraft FROM match_near_clock)`)
  const names = await warehouse.rows<{ aircraft: string }>(
    'SELECT aircraft FROM match_clock_name ORDER BY number',
  )
  const held = await warehouse.columns(
    `SELECT c.source, c.family, a.number AS aircraft, epoch_us(started_at) / 1e6 AS "start",
       epoch_us(ended_at) / 1e6 AS "end", offset_min * 60 AS "offset",
       list_position([${bases.map((basis) => `'${basis}'`).join(', ')}], basis) - 1 AS basis, own_min * 60 AS own,
       own_is_strong::INTEGER AS own_is_strong, own_against, is_open::INTEGER AS is_open
     FROM match_near_clock c JOIN match_clock_name a ON a.aircraft = c.aircraft
     ORDER BY a.number, c.source, started_at`,
  )
  const [source, family, own] = [held.numbers('source'), held.numbers('family'), held.numbers('own')]
  const [start, end, offset] = [held.numbers('start'), held.numbers('end'), held.numbers('offset')]
  const [name, basis] = [held.numbers('aircraft'), held.numbers('basis')]
  const [isStrong, against] = [held.numbers('own_is_strong'), held.numbers('own_against')]
  const isOpen = held.numbers('is_open')
  const rows = Array.from(
    source,
    (_, i): ClockRow => ({
      aircraft: names[name[i]!]!.aircraft,
      start: start[i]!,
      end: end[i]!,
      offset: offset[i]!,
      basis: bases[basis[i]!]!,
      own: Number.isNaN(own[i]!)
        ? null
        : { offset: own[i]!, isStrong: isStrong[i] === 1, against: against[i]! },
      is_open: isOpen[i]!,
    }),
  )
  const aircraftNumber = new Map(aircraft.map((name, number) => [name, number]))
  for (const row of rows)
    if (!aircraftNumber.has(row.aircraft)) aircraftNumber.set(row.aircraft, -1 - aircraftNumber.size)
  const familyOf = sources.map((one) => one.family)
  source.forEach((number, i) => {
    familyOf[number] = family[i]!
  })
  return {
    rows,
    aircraft: rows.map((row) => aircraftNumber.get(row.aircraft)!),
    source: [...source],
    familyOf,
    isJudged: (row) => isWithin(reached.get(row.aircraft) ?? [], 'clock', row.start, row.end),
  }
}

/** As far beyond what is loaded as those speak who may be heard by other aircraft that hear of a change. */
const strangerSeconds = fleetSeconds + 2 * day + longestBlock + neighbourSeconds - reaches.near.load

/** SQL of what lies near: of the aircraft loaded, two weeks around; of others less. */
function nearRecord(reached: ReadonlyMap<string, readonly Reach[]>): string {
  const around = whenSql(reached, 'load', 'started_at', 'started_at', 14 * day)
  const less = whenSql(reached, 'load', 'started_at', 'started_at', strangerSeconds)
  return `${around} AND ((${less}) OR ${whoseSql(reached.keys(), 'aircraft')})`
}

/** Offsets on record for blocks that are not judged anew, and who may speak for neighbours from outside. */
export function standingOffsets(
  blocks: readonly Block[],
  record: ClockRecord,
): { standing: Map<number, Offset>; known: Speaker[] } {
  const byKey = new Map<string, ClockRow>()
  record.rows.forEach((row, i) => {
    // Blocks are of the aircraft of this run alone.
    if (record.aircraft[i]! >= 0 && !record.isJudged(row))
      byKey.set(`${record.aircraft[i]}|${record.source[i]}|${row.start}`, row)
  })
  const standing = new Map<number, Offset>()
  blocks.forEach((block, index) => {
    const row = byKey.get(`${block.aircraft}|${block.source}|${block.start}`)
    if (row) standing.set(index, { offset: row.offset, basis: row.basis })
  })
  return { standing, known: speakersOf(record, (row) => !record.isJudged(row)) }
}

function speakersOf(record: ClockRecord, isHeard: (row: ClockRow) => boolean): Speaker[] {
  return record.rows.flatMap((row, i) => {
    if (row.own === null || !isHeard(row)) return []
    const [aircraft, source] = [record.aircraft[i]!, record.source[i]!]
    return [{ aircraft, source, start: row.start, ...row.own }]
  })
}

/** Such a clock listens to nobody. */
function isSettledByItsDay({ own }: ClockRow): boolean {
  return own?.against === 0 && own.isStrong
}

/** Blocks that now read otherwise than on record, of which not all lines are matched anew. */
function readOtherwise(
  clocks: readonly BlockClock[],
  offsets: readonly Offset[],
  record: ClockRecord,
  reached: ReadonlyMap<string, readonly Reach[]>,
  aircraft: readonly string[],
): Touched[] {
  const keyOf = (...numbers: readonly number[]): string => numbers.join('|')
  const before = new Map(
    record.rows.map((row, i) => [
      keyOf(record.aircraft[i]!, record.source[i]!, row.start, row.end),
      row.offset,
    ]),
  )
  return clocks.flatMap(({ block }, index) => {
    const { source, start, end } = block
    const name = aircraft[block.aircraft]!
    const reaches = reached.get(name) ?? []
    const isMatched = reaches.some((reach) => start >= reach.matchFrom && end <= reach.matchTo)
    if (isMatched || !isWithin(reaches, 'clock', start, end)) return []
    const isSame = before.get(keyOf(block.aircraft, source, start, end)) === offsets[index]!.offset
    return isSame ? [] : [{ aircraft: name, from: start, to: end, isFar: false }]
  })
}

/**
 * What else must be judged anew because of how the clocks came out: lines of clocks that read otherwise now, blocks whose
 * neighbours say something else, and days that are judged together with their week.
 */
export function furtherTouched(
  clocks: readonly BlockClock[],
  offsets: readonly Offset[],
  neighbours: Neighbours,
  record: ClockRecord,
  reached: ReadonlyMap<string, readonly Reach[]>,
  touched: readonly Touched[],
  aircraft: readonly string[],
): Touched[] {
  const far = new Set(touched.filter((one) => one.isFar).map((one) => one.aircraft))
  const toFar = new Set<string>()
  for (const { block, isOpen } of clocks) {
    const name = aircraft[block.aircraft]!
    if (isOpen && isWithin(reached.get(name) ?? [], 'clock', block.start, block.end)) toFar.add(name)
  }
  const before = new Neighbours(
    speakersOf(record, () => true),
    record.familyOf,
  )
  const isReached = neighbours.reachOfChanges(before)
  const more = readOtherwise(clocks, offsets, record, reached, aircraft)
  record.rows.forEach((row, i) => {
    if (isSettledByItsDay(row) || record.isJudged(row)) return
    const isNear = (seconds: number, one: Touched): boolean =>
      row.start <= one.to + seconds && row.end >= one.from - seconds
    const isOwn = touched.some(
      (one) => one.aircraft === row.aircraft && isNear(neighbourSeconds + 2 * day, one),
    )
    if (!isOwn && !touched.some((one) => isNear(fleetSeconds + 2 * day, one))) return
    if (row.is_open > 0 && isOwn) toFar.add(row.aircraft)
    const block = { aircraft: record.aircraft[i]!, source: record.source[i]!, start: row.start }
    if (!isReached(block)) return
    const isFleetAsked = !standsAlone(row.basis)
    const now = neighbours.allOf(block, isFleetAsked)
    const isSame = before.allOf(block, isFleetAsked).every((offset, place) => Object.is(offset, now[place]))
    if (isSame) return
    if (isOwn) toFar.add(row.aircraft)
    else more.push({ aircraft: row.aircraft, from: row.start, to: row.end, isFar: false })
  })
  for (const name of toFar) {
    if (far.has(name)) continue
    for (const one of touched) if (one.aircraft === name) more.push({ ...one, isFar: true })
  }
  return more
}
