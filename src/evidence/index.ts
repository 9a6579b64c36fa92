import type { Warehouse } from '../warehouse/index.ts'
import { fileEvidence, findingEvidence, observationEvidence } from './other.ts'
import { eventEvidence } from './record.ts'
import { thingEvidence } from './thing.ts'
import type { Evidence } from './types.ts'

export { nearRecord } from './near.ts'
export { type Evidence, type ObservationEvidence, obsName, obsNumber } from './types.ts'

export const evidenceKinds = [
  'drop',
  'load',
  'flight',
  'offload',
  'tank',
  'component',
  'fire',
  'base',
  'aircraft',
  'invoice-line',
  'file',
  'finding',
  'obs',
] as const
export type EvidenceKind = (typeof evidenceKinds)[number]

/**
 * Everything behind one record, down to file and line. Reads only.
 * @returns null when there is no record of that kind with that id.
 */
export async function readEvidence(
  warehouse: Warehouse,
  kind: EvidenceKind,
  id: string,
): Promise<Evidence | null> {
  switch (kind) {
    case 'drop':
    case 'load':
    case 'flight':
    case 'offload':
      return eventEvidence(warehouse, kind, id)
    case 'file':
      return fileEvidence(warehouse, id)
    case 'finding':
      return findingEvidence(warehouse, id)
    case 'obs':
      return observationEvidence(warehouse, id)
    default:
      return thingEvidence(warehouse, kind, id)
  }
}
