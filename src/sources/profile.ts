import type { KindName, Witness } from '../kinds/index.ts'
import type { Unit } from '../values/index.ts'

export const formats = ['csv', 'jsonl', 'xlsx'] as const
export type Format = (typeof formats)[number]

export const encodings = ['utf-8', 'utf-16', 'utf-16le', 'utf-16be', 'windows-1252', 'iso-8859-1'] as const
export type Encoding = (typeof encodings)[number]

/** Zone of the times of a file: an IANA name (or UTC), or the zone of the row's base. */
export type ZoneRule = { readonly name: string } | { readonly from: 'base' }

/** Header → texts; a row fits when every header's cell is one of its texts (letter case and outer spaces do not matter). */
export type Where = Readonly<Record<string, readonly string[]>>

/** Where a file says when it was issued: a column (its first value), or a pattern in the file's name. */
export type IssuedAt =
  | { readonly column: string; readonly formats: readonly string[] }
  | { readonly name: string; readonly formats: readonly string[] }

/** How one field is read from the file. */
export interface ProfileField {
  /** The name that the profile wrote: `volume`, `position`. */
  readonly field: string
  /** Canonical columns that it fills; two for a position (`latitude`, `longitude`), else one. */
  readonly columns: readonly string[]
  /** Headers of the file; several are joined with a space before reading, but for a position in two columns. */
  readonly from: readonly string[]
  readonly unit: Unit | null
  /** Time formats tried in order; empty means ISO 8601. */
  readonly formats: readonly string[]
  /** Zone of this field's times; null for fields that are not times, or when the profile names none. */
  readonly zone: ZoneRule | null
  /** Text as written → text that is read instead; letter case and outer spaces do not matter. */
  readonly values: Readonly<Record<string, string>>
  /** Taken when the cell is blank; null leaves it blank. */
  readonly default: string | null
}

/** How one record kind is read from the rows of a file. */
export interface ProfileRecord {
  readonly kind: KindName
  /** Null: the row's own `witness` field says it, else the kind's usual witness. */
  readonly witness: Witness | null
  readonly where: Where
  readonly fields: readonly ProfileField[]
  /** Canonical column → text taken for every row. */
  readonly constants: Readonly<Record<string, string>>
}

/** What the code uses of a profile that a person wrote; made once, at the door, by `parseProfile`. */
export interface Profile {
  readonly name: string
  /** File it was read from; null for the built-in ones. */
  readonly path: string | null
  readonly isCanonical: boolean
  /** Null: any format (built-in profiles). */
  readonly format: Format | null
  /** Null members are found out from the file. */
  readonly csv: {
    readonly delimiter: string | null
    readonly encoding: Encoding | null
    readonly skip: number | null
  }
  readonly xlsx: { readonly sheet: string | null; readonly headerRow: number | null }
  readonly decimal: '.' | ','
  /** Signature: all must be there. */
  readonly headers: readonly string[]
  readonly zone: ZoneRule | null
  readonly sends: 'increment' | 'whole'
  readonly issuedAt: IssuedAt | null
  readonly densityLbPerGal: number | null
  readonly ignore: Where
  readonly records: readonly ProfileRecord[]
  /** The JSON as it was written, to be kept. */
  readonly text: string
}
