/**
 * What a column of a record kind can hold. One entry per type in `sqlTypes`: a forgotten type does not compile.
 *
 * Canonical units: US gallon, foot, knot, second, degree (WGS 84), UTC.
 */
export type ColumnType =
  | 'text'
  | 'reference'
  | 'time'
  | 'date'
  | 'number'
  | 'integer'
  | 'volume'
  | 'length'
  | 'speed'
  | 'duration'
  | 'angle'
  | 'fraction'
  | 'coverage'
  | 'choice'
  | 'doors'
  | 'list'
  | 'interval'
  | 'price'
  | 'money'

/** DuckDB type of each column type, as stored in the `obs` schema. */
export const sqlTypes: Record<ColumnType, string> = {
  text: 'VARCHAR',
  reference: 'VARCHAR',
  time: 'TIMESTAMP',
  date: 'DATE',
  number: 'DOUBLE',
  integer: 'INTEGER',
  volume: 'DOUBLE',
  length: 'DOUBLE',
  speed: 'DOUBLE',
  duration: 'DOUBLE',
  angle: 'DOUBLE',
  fraction: 'DOUBLE',
  coverage: 'DOUBLE',
  choice: 'VARCHAR',
  doors: 'VARCHAR[]',
  list: 'VARCHAR[]',
  interval: 'VARCHAR',
  price: 'DECIMAL(18,6)',
  money: 'DECIMAL(18,2)',
}

/** Registry names that a reference column points into. `aircraft`, `tank` and `item` must resolve; `base` and `fire` keep their text. */
export type ReferenceTarget =
  | 'aircraft'
  | 'tank'
  | 'component'
  | 'item'
  | 'base'
  | 'fire'
  | 'contract'
  | 'task'

export interface Column {
  readonly name: string
  readonly type: ColumnType
  readonly required: boolean
  /** One sentence for the manual, with the unit where there is one. */
  readonly about: string
  readonly of?: ReferenceTarget
  readonly choices?: readonly string[]
  /** Smallest and largest value that is read at all; outside, the row is quarantined. */
  readonly min?: number
  readonly max?: number
}

const suffixes = ['_gal_s', '_gal', '_ft', '_kt', '_s', '_nm'] as const

/** The name a profile uses: the canonical name without its unit suffix (`volume_gal` → `volume`). */
export function fieldName(column: string): string {
  if (column === 't_s') return 't'
  const suffix = suffixes.find((ending) => column.endsWith(ending))
  return suffix ? column.slice(0, -suffix.length) : column
}
