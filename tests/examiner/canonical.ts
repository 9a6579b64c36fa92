import type { Claim } from './claims.ts'
import { baselines, components, fittings } from './parts.ts'
import { bases, fires, fleet, mountings, tanks } from './world.ts'

export type Row = Record<string, string | number | boolean | null | undefined>
export const iso = (at: number): string => new Date(at * 1000).toISOString().replace('.000Z', 'Z')

/** Rows as CSV with a header of the union of their columns; a cell is quoted when it must be. */
export function csv(rows: Row[], columns = [...new Set(rows.flatMap((row) => Object.keys(row)))]): string {
  const cell = (value: Row[string]): string => {
    const text = value === null || value === undefined ? '' : String(value)
    return /[",\n\r]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text
  }
  return `${[columns.join(','), ...rows.map((row) => columns.map((c) => cell(row[c])).join(','))].join('\n')}\n`
}

const times = new Set(['on_at', 'off_at', 'counted_at', 'started_at', 'ended_at', 'done_at', 'adjusted_at'])
const withTimes = (row: object): Row =>
  Object.fromEntries(
    Object.entries(row).map(([k, v]) => [
      k,
      times.has(k) && typeof v === 'number' ? iso(v) : (v as Row[string]),
    ]),
  )

/** The registry as canonical files. */
export function registry(): Record<string, Row[]> {
  return {
    aircraft: fleet.map(({ cruise_kt: _c, hasController: _h, home: _o, ...row }) => row),
    tank: tanks.map(withTimes),
    mounting: mountings.map(withTimes),
    component: components.map(withTimes),
    fitting: fittings.map(withTimes),
    baseline: baselines.map(withTimes),
    base: bases.map(withTimes),
    fire: fires.map(withTimes),
  }
}

const timeOf: Record<Claim['kind'], string> = {
  load: 'loaded_at',
  drop: 'dropped_at',
  flight: 'off_at',
  offload: 'offloaded_at',
  assessment: 'assessed_at',
}

/** A claim as a row of its kind's canonical file. */
export function canonicalRow(claim: Claim): Row {
  const fields = withTimes(claim.fields)
  return {
    [timeOf[claim.kind]]: iso(claim.at),
    ...(claim.until === undefined ? {} : { on_at: iso(claim.until) }),
    aircraft: claim.aircraft,
    ...(claim.kind === 'assessment' ? {} : { witness: claim.witness }),
    ...fields,
  }
}

/** Canonical files: the registry, and the claims by kind and witness. */
export function canonicalFiles(list: readonly Claim[]): Record<string, string> {
  const files: Record<string, Row[]> = registry()
  for (const claim of list) {
    const key = claim.witness ? `${claim.kind}-${claim.witness}` : claim.kind
    files[key] = [...(files[key] ?? []), canonicalRow(claim)]
  }
  return Object.fromEntries(Object.entries(files).map(([name, rows]) => [`${name}.csv`, csv(rows)]))
}
