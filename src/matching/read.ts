import { purposes, rowsOfFile } from '../kinds/index.ts'
import type { Columns, Warehouse } from '../warehouse/index.ts'
import { timeField } from './fields.ts'
import { eventKinds, type Observations, type Source } from './observations.ts'
import type { Part } from './parts.ts'
import { bitOf, bitsFrom, saysSql } from './says.ts'
import type { SetField } from './set-fields.ts'

/** The names that stand in observations, by number. */
export interface Names {
  readonly aircraft: string[]
  /** How many observations there are of each aircraft. */
  readonly counts: number[]
  readonly sources: Source[]
}

/** By whose clock a line of loads or offloads is written, beside its witness and profile. */
const ticketBaseSql = `CASE WHEN witness = 'ticket' THEN upper(trim(coalesce(base, ''))) ELSE '' END`

/** Numbers for the names that stand in observations, in alphabetical order: `match_aircraft`, `match_source`, `match_fire`. */
export async function numberNames(warehouse: Warehouse): Promise<Names> {
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE match_source AS
      SELECT (row_number() OVER (ORDER BY source, base) - 1)::INTEGER AS number, source, base, min(witness) AS witness FROM (
        SELECT DISTINCT source, witness, '' AS base FROM told_drop
        UNION SELECT DISTINCT source, witness, ${ticketBaseSql} FROM told_load
        UNION SELECT DISTINCT source, witness, '' FROM told_flight
        UNION SELECT DISTINCT source, witness, ${ticketBaseSql} FROM told_offload)
      GROUP BY source, base;
    CREATE OR REPLACE TEMP TABLE match_aircraft AS
      SELECT (row_number() OVER (ORDER BY aircraft) - 1)::INTEGER AS number, aircraft, count(*)::INTEGER AS observations
      FROM (SELECT aircraft FROM told_drop UNION ALL SELECT aircraft FROM told_load
        UNION ALL SELECT aircraft FROM told_flight UNION ALL SELECT aircraft FROM told_offload)
      GROUP BY aircraft;
    CREATE OR REPLACE TEMP TABLE match_fire AS
      SELECT fire, tidy, (dense_rank() OVER (ORDER BY tidy) - 1)::INTEGER AS number FROM (
        SELECT DISTINCT fire, regexp_replace(lower(strip_accents(fire)), '[^0-9a-z]', '', 'g') AS tidy FROM told_drop WHERE fire IS NOT NULL);
  `)
  const aircraft = await warehouse.rows<{ aircraft: string; observations: number }>(
    'SELECT aircraft, observations FROM match_aircraft ORDER BY number',
  )
  const sources = await warehouse.rows<{ source: string; witness: string; base: string }>(
    'SELECT source, witness, base FROM match_source ORDER BY number',
  )
  const names = sources.map((row) => row.source)
  return {
    aircraft: aircraft.map((row) => row.aircraft),
    counts: aircraft.map((row) => row.observations),
    sources: sources.map(({ source, witness, base }) => ({
      name: source,
      witness,
      base,
      family: names.indexOf(source),
    })),
  }
}

/**
 * The observations of the aircraft in `match_aircraft`, sorted as `Observations` promises.
 * @param set what people set @param part these aircraft only
 */
export async function readObservations(
  warehouse: Warehouse,
  set: readonly SetField[],
  part?: Part,
): Promise<Observations> {
  const columns = await inOrder(warehouse, part)
  const [kind, obsNo] = [columns.numbers('kind'), columns.numbers('obs_no')]
  const setBits = bitsSet(set, kind, obsNo)
  return {
    count: columns.count,
    aircraft: columns.numbers('aircraft'),
    source: columns.numbers('source'),
    kind,
    start: columns.numbers('start'),
    end: columns.numbers('finish'),
    volume: columns.numbers('volume'),
    fraction: columns.numbers('fraction'),
    latitude: columns.numbers('latitude'),
    longitude: columns.numbers('longitude'),
    fire: columns.numbers('fire'),
    purpose: columns.numbers('purpose'),
    isTimeSet: timesSet(setBits, kind),
    obsNo,
    says: sharedWhole(columns.numbers('says')),
    set: setBits,
  }
}

/** What tells lines apart that are equal in aircraft, source, time, kind and place in their file. */
const furtherOrder = `, t.end_at, t.volume_gal, t.fraction, f.number, t.purpose, t.latitude, t.longitude, t.record,
  t.ident, t.obs_no`
const most = 10_000

/** Such lines are few: they alone are sorted by all that is in them. */
async function inOrder(warehouse: Warehouse, part?: Part): Promise<Columns> {
  const purposeList = purposes.map((purpose) => `'${purpose}'`).join(', ')
  const stage = eventKinds
    .reduce(
      (text, kind) => text.replace(`SAYS_${kind}`, saysSql(kind)),
      await warehouse.readStage('matching/read'),
    )
    .replaceAll(' BASE,', ` ${ticketBaseSql},`)
    .replace('PURPOSES', `[${purposeList}]`)
  const whose = part ? `a.number BETWEEN ${part.from} AND ${part.to - 1}` : 'true'
  const read = (which: string, order: string): Promise<Columns> =>
    warehouse.columns(
      stage.replace('\nWHICH\n', `\nWHERE ${whose}${which}\n`).replace(' ORDER;', order),
      {},
      { isShared: true, room: part?.count },
    )
  const columns = await read('', '')
  const equal = equalRows(columns)
  if (equal.length === 0) return columns
  if (equal.length > most) return read('', furtherOrder)
  const obsNo = columns.numbers('obs_no')
  const sorted = await read(` AND t.obs_no IN (${equal.map((row) => obsNo[row]!).join(', ')})`, furtherOrder)
  for (const name of columns.names) {
    const [all, some] = [columns.numbers(name), sorted.numbers(name)]
    equal.forEach((row, i) => {
      all[row] = some[i]!
    })
  }
  return columns
}

/** Rows that are equal to one beside them in all that they are sorted by. */
function equalRows(columns: Columns): number[] {
  const keys = ['aircraft', 'source', 'start', 'kind'].map((name) => columns.numbers(name))
  const obsNo = columns.numbers('obs_no')
  const equal: number[] = []
  for (let row = 1; row < columns.count; row++) {
    if (obsNo[row]! % rowsOfFile !== obsNo[row - 1]! % rowsOfFile) continue
    if (!keys.every((key) => Object.is(key[row], key[row - 1]))) continue
    if (equal.at(-1) !== row - 1) equal.push(row - 1)
    equal.push(row)
  }
  return equal
}

const timeBits = eventKinds.map((kind) => bitOf(kind, timeField[kind]))

function bitsSet(set: readonly SetField[], kind: Float64Array, obsNo: Float64Array): Int32Array {
  const bits = new Int32Array(new SharedArrayBuffer(4 * obsNo.length))
  if (set.length === 0) return bits
  const fields = new Map<number, string[]>()
  for (const { obs_no, field } of set) fields.set(obs_no, [...(fields.get(obs_no) ?? []), field])
  for (let index = 0; index < bits.length; index++) {
    for (const field of fields.get(obsNo[index]!) ?? [])
      bits[index]! |= bitsFrom(eventKinds[kind[index]!]!, field)
  }
  return bits
}

/** 1 where the time itself was set. */
function timesSet(set: Int32Array, kind: Float64Array): Float64Array {
  const isSet = new Float64Array(new SharedArrayBuffer(8 * set.length))
  for (let index = 0; index < set.length; index++)
    if (set[index] !== 0 && (set[index]! & timeBits[kind[index]!]!) !== 0) isSet[index] = 1
  return isSet
}

function sharedWhole(values: Float64Array): Int32Array {
  const whole = new Int32Array(new SharedArrayBuffer(4 * values.length))
  whole.set(values)
  return whole
}
