import type { Warehouse } from '../warehouse/index.ts'
import type { EventKind } from './observations.ts'

/** A field of an observation that a person set. */
export interface SetField {
  kind: EventKind
  obs_no: number
  field: string
  value: string | null
}

/** What people set and nobody undid. */
export async function fieldsSet(warehouse: Warehouse): Promise<SetField[]> {
  return warehouse.rows<SetField>('SELECT kind, obs_no, field, value FROM ledger.told_field ORDER BY ALL')
}
