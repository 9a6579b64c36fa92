import { fieldName, isKindName, type Kind, kindOf, kinds } from '../kinds/index.ts'
import { headerKey } from './header.ts'
import { problem, type SourceProblem } from './problem.ts'
import type { IssuedAt, Profile, ProfileField, ProfileRecord, Where, ZoneRule } from './profile.ts'
import { checkProfile } from './profile-check.ts'
import { type FieldSpec, fieldNames, type ProfileSpec, profileSpec } from './profile-spec.ts'
import { describeIssue, lineOf, syntaxTrouble } from './profile-trouble.ts'

const fix = 'correct the profile; the file profile.schema.json tells an editor what may stand where'

/**
 * A profile from its JSON, or one problem that names each spot that is wrong by its place in the JSON, with the
 * nearest name for a mistyped one. `path` is only for the message.
 */
export function parseProfile(json: string, path: string): Profile | SourceProblem {
  const text = json.replace(/^\ufeff/, '')
  let written: unknown
  try {
    written = JSON.parse(text)
  } catch {
    return syntaxTrouble(path, text)
  }
  const read = profileSpec.safeParse(written, { reportInput: true })
  if (!read.success) {
    const known = namesAt(written)
    const troubles = read.error.issues.map((issue) => describeIssue(issue, known))
    const first = read.error.issues[0]!
    const name =
      first.code === 'unrecognized_keys'
        ? first.keys[0]
        : first.path.findLast((step) => typeof step === 'string')
    return problem(path, listed(troubles), fix, lineOf(text, name as string | undefined))
  }
  const profile = asProfile(read.data, path, text)
  const troubles = checkProfile(profile, read.data)
  return troubles.length > 0 ? problem(path, listed(troubles), fix) : profile
}

function listed(troubles: readonly string[]): string {
  const shown = troubles.slice(0, 5)
  const more = troubles.length - shown.length
  return more > 0 ? `${shown.join('; ')}; and ${more} more` : shown.join('; ')
}

/** The names that may stand at a place of the profile, for suggestions. */
function namesAt(written: unknown): (path: readonly PropertyKey[]) => string[] {
  return (path) => {
    if (path.at(-1) === 'kind') return kinds.map(({ name }) => name)
    if (path.length === 0) return Object.keys(profileSpec.shape)
    const [first, index, part] = path
    if (first === 'records' && (part === 'fields' || part === 'constants') && path.length === 3) {
      const record = (written as { records?: { kind?: unknown }[] }).records?.[Number(index)]
      const kind = record?.kind
      return typeof kind === 'string' && isKindName(kind) ? shortNames(kindOf(kind)) : []
    }
    if (first === 'records' && part === 'fields')
      return ['from', 'unit', 'format', 'zone', 'values', 'default', 'notes']
    if (first === 'records') return ['kind', 'witness', 'where', 'fields', 'constants', 'notes']
    if (first === 'csv') return ['delimiter', 'encoding', 'skip', 'decimal']
    if (first === 'xlsx') return ['sheet', 'header_row']
    return []
  }
}

/** Without unit suffixes, which nobody needs to write. */
function shortNames(kind: Kind): string[] {
  const names = [...fieldNames(kind)]
  return names
    .filter(([name, columns]) => columns.length > 1 || name === fieldName(columns[0]!))
    .map(([name]) => name)
}

function asProfile(spec: ProfileSpec, path: string, text: string): Profile {
  const zone = zoneRule(spec.zone)
  return {
    name: spec.profile,
    path,
    isCanonical: false,
    format: spec.format,
    csv: {
      delimiter: spec.csv?.delimiter ?? null,
      encoding: spec.csv?.encoding ?? null,
      skip: spec.csv?.skip ?? null,
    },
    xlsx: { sheet: spec.xlsx?.sheet ?? null, headerRow: spec.xlsx?.header_row ?? null },
    decimal: spec.decimal ?? spec.csv?.decimal ?? '.',
    headers: spec.headers,
    zone,
    sends: spec.sends ?? 'increment',
    issuedAt: issuedAt(spec),
    densityLbPerGal: spec.density_lb_per_gal ?? null,
    ignore: whereOf(spec.ignore),
    records: spec.records.map((record) => asRecord(record, zone)),
    text,
  }
}

function asRecord(record: ProfileSpec['records'][number], zone: ZoneRule | null): ProfileRecord {
  const kind = kindOf(record.kind)
  const names = fieldNames(kind)
  const fields = Object.entries(record.fields as Record<string, FieldSpec | undefined>)
  const constants = Object.entries((record.constants ?? {}) as Record<string, string | number | boolean>)
  return {
    kind: record.kind,
    witness: record.witness ?? null,
    where: whereOf(record.where),
    fields: fields.flatMap(([name, field]) =>
      field ? [asField(kind, name, names.get(name)!, field, zone)] : [],
    ),
    constants: Object.fromEntries(constants.map(([name, value]) => [names.get(name)![0]!, String(value)])),
  }
}

function asField(
  kind: Kind,
  field: string,
  columns: readonly string[],
  spec: FieldSpec,
  zone: ZoneRule | null,
): ProfileField {
  const isTime = kind.columns.find(({ name }) => name === columns[0])?.type === 'time'
  return {
    field,
    columns,
    from: list(spec.from),
    unit: spec.unit ?? null,
    formats: list(spec.format),
    zone: isTime ? (zoneRule(spec.zone) ?? zone) : null,
    values: Object.fromEntries(Object.entries(spec.values ?? {}).map(([from, to]) => [from, String(to)])),
    default: spec.default === undefined ? null : String(spec.default),
  }
}

function list(value: string | string[] | undefined): string[] {
  if (value === undefined) return []
  return typeof value === 'string' ? [value] : value
}

function zoneRule(zone: ProfileSpec['zone']): ZoneRule | null {
  if (zone === undefined) return null
  return typeof zone === 'string' ? { name: zone } : zone
}

function whereOf(where: ProfileSpec['ignore']): Where {
  const entries = Object.entries(where ?? {})
  return Object.fromEntries(
    entries.map(([header, texts]) => [header, (Array.isArray(texts) ? texts : [texts]).map(String)]),
  )
}

function issuedAt(spec: ProfileSpec): IssuedAt | null {
  const written = spec.issued_at
  if (written === undefined) return null
  if (typeof written !== 'string') return { ...written, formats: list(written.format) }
  const isHeader = spec.headers.some((header) => headerKey(header) === headerKey(written))
  return isHeader ? { column: written, formats: [] } : { name: written, formats: [] }
}
