import { fieldName, type Kind, kinds } from '../kinds/index.ts'
import type { Profile } from './profile.ts'

const made = kinds.map(canonicalProfile)

/** One built-in profile per record kind: a file with the canonical column names needs no other. */
export function canonicalProfiles(): Profile[] {
  return made
}

function canonicalProfile(kind: Kind): Profile {
  return {
    name: `canonical-${kind.name}`,
    path: null,
    isCanonical: true,
    format: null,
    csv: { delimiter: null, encoding: null, skip: null },
    xlsx: { sheet: null, headerRow: null },
    decimal: '.',
    headers: kind.columns.filter(({ required }) => required).map(({ name }) => name),
    zone: null,
    sends: 'increment',
    issuedAt: null,
    densityLbPerGal: null,
    ignore: {},
    records: [
      {
        kind: kind.name,
        witness: null,
        where: {},
        fields: kind.columns.map(({ name }) => ({
          field: fieldName(name),
          columns: [name],
          from: [name],
          unit: null,
          formats: [],
          zone: null,
          values: {},
          default: null,
        })),
        constants: {},
      },
    ],
    text: '',
  }
}
