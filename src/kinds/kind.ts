import type { Column } from './column.ts'

export type KindName =
  | 'aircraft'
  | 'tank'
  | 'mounting'
  | 'component'
  | 'fitting'
  | 'baseline'
  | 'base'
  | 'season'
  | 'fire'
  | 'contract'
  | 'rate'
  | 'invoice-line'
  | 'availability'
  | 'task'
  | 'accomplishment'
  | 'extension'
  | 'adjustment'
  | 'load'
  | 'offload'
  | 'drop'
  | 'flight'
  | 'assessment'
  | 'position'
  | 'trace'

/**
 * How two rows are known to be two tellings of one record.
 * - `columns`: equal values in these columns (`season(x)` is the season of the day of x); a later arrival replaces.
 * - `event`: ticket or record number where the row has one, else source + aircraft + minute.
 * - `content`: only an equal row is the same row; nothing replaces it.
 */
export type KeyRule =
  | { readonly by: 'columns'; readonly columns: readonly string[]; readonly perSource?: boolean }
  | { readonly by: 'event' }
  | { readonly by: 'content' }

export interface Kind {
  readonly name: KindName
  /** `registry`: what is on record about things. `event`: what happened. */
  readonly family: 'registry' | 'event'
  readonly about: string
  readonly columns: readonly Column[]
  readonly key: KeyRule
  /** The column that says when it happened; null for registry kinds without one. */
  readonly time: string | null
  /** Witness taken when the row names none; null for kinds that have no witness. */
  readonly witness: Witness | null
  readonly span?: Span
}

/** Two columns of one record of which the second is never before the first; a row that says otherwise is quarantined. */
export interface Span {
  readonly from: string
  readonly to: string
  /** Seconds; a row that says more is quarantined too. */
  readonly longest_s?: number
}

export const witnesses = ['controller', 'crew', 'tracker', 'ticket', 'dispatch', 'manual'] as const
export type Witness = (typeof witnesses)[number]

export const fluids = ['water', 'retardant', 'gel', 'foam'] as const
export type Fluid = (typeof fluids)[number]

export const purposes = ['fire', 'jettison', 'emergency', 'training', 'ground-test'] as const
export type Purpose = (typeof purposes)[number]

export const counters = [
  'openings',
  'door-cycles',
  'retardant-openings',
  'fills',
  'emergency-releases',
  'mountings',
  'mounted-hours',
  'days',
] as const
export type Counter = (typeof counters)[number]

/** Table of a kind in the `obs` schema (`invoice-line` → `invoice_line`). */
export function tableName(kind: KindName): string {
  return kind.replaceAll('-', '_')
}
