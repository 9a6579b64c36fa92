import type { Warehouse } from '../warehouse/index.ts'
import type { Block } from './blocks.ts'
import { bases, type Offset, standsAlone } from './clock-offsets.ts'
import { fleetSeconds, neighbourSeconds, type Speaker } from './clock-voices.ts'
import type { Source } from './observations.ts'
import { isWithin, longestBlock, type Reach, reaches, whenSql, whoseSql } from './reach.ts'

const day = 86_400

/** A row of `ledger.clock`, seconds. */
export interface ClockRow {
  readonly aircraft: string
  readonly start: number
  readonly end: number
  readonly offset: number
  readonly basis: Offset['basis']
  /** What its own day said; null where that was nothing. */
  readonly own: Speaker | null
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

/**
 * Of which other aircraft the record is read: of those whose days around leave a clock to the fleet, or of all, for what they say
 * of each other's.
 */
export type Strangers = 'listeners' | 'all'

/** What is on record about the clocks of the sources at hand, as far as the neighbours of neighbours of what was loaded. */
export async function clocksOnRecord(
  warehouse: Warehouse,
  { reached, aircraft }: { reached: ReadonlyMap<string, readonly Reach[]>; aircraft: readonly string[] },
  sources: readonly Source[],
  strangers: Strangers,
): Promise<ClockRecord> {
  await warehouse.run(`CREATE OR REPLACE TEMP TABLE match_near_clock AS
      SELECT coalesce(s.number, ${sources.length} + dense_rank() OVER (ORDER BY s.number IS NULL DESC, c.source, c.base) - 1)::INTEGER AS source,
        f.family, c.aircraft, started_at, ended_at, offset_min, basis, own_min, own_is_strong, own_against,
        is_open
      FROM (${nearRecord(reached, strangers)}) c
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
  const known = new Map(aircraft.map((name, number) => [name, number]))
  const aircraftNumber = names.map(({ aircraft }, number) => known.get(aircraft) ?? -1 - number)
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
        : {
            aircraft: aircraftNumber[name[i]!]!,
            source: source[i]!,
            start: start[i]!,
            offset: own[i]!,
            isStrong: isStrong[i] === 1,
            against: against[i]!,
          },
      is_open: isOpen[i]!,
    }),
  )
  const familyOf = sources.map((one) => one.family)
  source.forEach((number, i) => {
    familyOf[number] = family[i]!
  })
  return {
    rows,
    aircraft: rows.map((_, i) => aircraftNumber[name[i]!]!),
    source: [...source],
    familyOf,
    isJudged: (row) => isWithin(reached.get(row.aircraft) ?? [], 'clock', row.start, row.end),
  }
}

/** Others hear of a change that far from it, of which some is loaded, and those whom they hear speak as much farther. */
const listenerSeconds = fleetSeconds + 2 * day + longestBlock - reaches.near.load
const fleetFarSeconds = listenerSeconds + fleetSeconds

/** SQL of what lies near: of the aircraft loaded, two weeks around; of others less. */
function nearRecord(reached: ReadonlyMap<string, readonly Reach[]>, strangers: Strangers): string {
  const within = (seconds: number): string => whenSql(reached, 'load', 'started_at', 'started_at', seconds)
  const own = whoseSql(reached.keys(), 'aircraft')
  // A clock of others whose own days lie all farther away is then taken for a listener: it may be judged once too often.
  if (strangers === 'all')
    return `FROM ledger.clock WHERE ${within(14 * day)} AND ((${within(fleetFarSeconds)}) OR ${own})`
  const listens = bases.filter(standsAlone).map((basis) => `basis <> '${basis}'`)
  const week = `INTERVAL ${neighbourSeconds} SECOND`
  return `FROM ledger.clock WHERE ${within(14 * day)} AND ${own}
    UNION ALL FROM ledger.clock c WHERE ${within(listenerSeconds)} AND ${listens.join(' AND ')} AND NOT (${own})
      AND NOT EXISTS (FROM ledger.clock o WHERE o.aircraft = c.aircraft AND o.source = c.source AND o.own_against = 0
        AND o.own_min IS NOT NULL AND o.started_at <> c.started_at
        AND o.started_at >= c.started_at - ${week} AND o.started_at <= c.started_at + ${week})`
}

/**
 * Offsets on record for blocks that are not judged anew, and who may speak for neighbours from outside. Of a block on the edge of
 * what was loaded only a part may be at hand: it is the one on record that it lies in.
 */
export function standingOffsets(
  blocks: readonly Block[],
  record: ClockRecord,
): { standing: Map<number, Offset>; known: Speaker[] } {
  const byKey = new Map<string, ClockRow[]>()
  record.rows.forEach((row, i) => {
    // Blocks are of the aircraft of this run alone.
    if (record.aircraft[i]! < 0 || record.isJudged(row)) return
    const key = `${record.aircraft[i]}|${record.source[i]}`
    const known = byKey.get(key)
    if (known) known.push(row)
    else byKey.set(key, [row])
  })
  const standing = new Map<number, Offset>()
  blocks.forEach(({ aircraft, source, start, end }, index) => {
    const row = byKey.get(`${aircraft}|${source}`)?.find((one) => one.start <= end && one.end >= start)
    if (row) standing.set(index, { offset: row.offset, basis: row.basis })
  })
  return { standing, known: speakersOf(record, (row) => !record.isJudged(row)) }
}

/** Those on record who speak for others. */
export function speakersOf(record: ClockRecord, isHeard: (row: ClockRow) => boolean): Speaker[] {
  const speakers: Speaker[] = []
  for (const row of record.rows) if (row.own !== null && isHeard(row)) speakers.push(row.own)
  return speakers
}
