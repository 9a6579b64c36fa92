import { schemaSql as intakeSchema } from '../../src/intake/schema.ts'
import { tableName } from '../../src/kinds/index.ts'
import { schemaSql } from '../../src/matching/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'
import type { Told } from './season.ts'

export type Row = Record<string, string | number | boolean | null>

/** A warehouse in memory with the tables that matching reads and writes. */
export async function emptyHouse(): Promise<Warehouse> {
  return Warehouse.memory([intakeSchema, schemaSql])
}

const nothing = { latitude: null, longitude: null, fraction: null, fire: null, purpose: null }

/** One line of a log, as intake would have left it. */
export function line(
  kind: Told['kind'],
  source: string,
  at: string,
  rest: Partial<Told> & { until?: string } = {},
): Omit<Told, 'obsNo' | 'truth'> {
  const seconds = (text: string): number =>
    Date.parse(text.includes('T') ? text : `2026-07-04T${text}Z`) / 1000
  return {
    ...nothing,
    aircraft: 'N801ZY',
    kind,
    source,
    witness: source.split(':')[0]!,
    start: seconds(at),
    end: seconds(rest.until ?? at),
    volume: null,
    ...rest,
  }
}

const times = {
  drop: ['dropped_at', null],
  load: ['loaded_at', null],
  flight: ['off_at', 'on_at'],
  offload: ['offloaded_at', null],
} as const

/** Puts lines into `obs`: file 1 unless told otherwise, numbered in the order given. */
export async function put(
  warehouse: Warehouse,
  lines: readonly (Omit<Told, 'obsNo' | 'truth'> & { obsNo?: number; record?: string })[],
  fileNo = 1,
): Promise<number[]> {
  const numbers = lines.map((one, index) => one.obsNo ?? fileNo * 2 ** 32 + (index + 2) * 16)
  for (const kind of ['drop', 'load', 'flight', 'offload'] as const) {
    const own = lines
      .map((one, index) => ({ ...one, obs: numbers[index]! }))
      .filter((one) => one.kind === kind)
    if (own.length === 0) continue
    const pick = <T>(take: (one: (typeof own)[number]) => T): T[] => own.map(take)
    const [start, end] = times[kind]
    await warehouse.append(`obs.${tableName(kind)}`, {
      obs_no: pick((one) => one.obs),
      file_no: pick((one) => Math.floor(one.obs / 2 ** 32)),
      witness: pick((one) => one.witness),
      source: pick((one) => one.source),
      fate: pick(() => 'accepted'),
      aircraft: pick((one) => one.aircraft),
      record: pick((one) => one.record ?? null),
      [start]: pick((one) => one.start * 1000),
      ...(end ? { [end]: pick((one) => one.end * 1000) } : {}),
      ...(kind === 'flight' ? {} : { volume_gal: pick((one) => one.volume) }),
      ...(kind === 'drop'
        ? {
            fraction: pick((one) => one.fraction),
            latitude: pick((one) => one.latitude),
            longitude: pick((one) => one.longitude),
            fire: pick((one) => one.fire),
            purpose: pick((one) => one.purpose),
          }
        : {}),
      ...(kind === 'load'
        ? {
            base: pick((one) => one.base ?? null),
            gauge_before_gal: pick((one) => one.before ?? null),
            gauge_after_gal: pick((one) => one.after ?? null),
          }
        : {}),
    })
  }
  return numbers
}

/** Notes for matching which stretches new lines touch, as intake would. */
export async function notePending(warehouse: Warehouse, told: readonly Told[]): Promise<void> {
  const stretches = new Map<string, { aircraft: string; kind: string; from: number; to: number }>()
  for (const line of told) {
    const key = `${line.aircraft}/${line.kind}`
    const known = stretches.get(key)
    if (!known)
      stretches.set(key, { aircraft: line.aircraft, kind: line.kind, from: line.start, to: line.start })
    else {
      known.from = Math.min(known.from, line.start)
      known.to = Math.max(known.to, line.start)
    }
  }
  const list = [...stretches.values()]
  await warehouse.run('DELETE FROM obs.pending')
  await warehouse.append('obs.pending', {
    aircraft: list.map((one) => one.aircraft),
    kind: list.map((one) => one.kind),
    first_at: list.map((one) => one.from * 1000),
    last_at: list.map((one) => one.to * 1000),
  })
}

export const tables = ['drop', 'load', 'flight', 'offload', 'attestation', 'clock', 'finding'] as const

/** Every row of the ledger as text, by table, in no order of its own. */
export async function ledgerOf(warehouse: Warehouse): Promise<Record<string, string[]>> {
  const result: Record<string, string[]> = {}
  for (const table of tables) {
    const rows = await warehouse.rows(`SELECT * FROM ledger.${table}`)
    result[table] = rows.map((row) => JSON.stringify(row)).sort()
  }
  return result
}
