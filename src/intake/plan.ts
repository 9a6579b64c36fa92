import { type Column, type Kind, kindOf, recordsOfLine, rowsOfFile } from '../kinds/index.ts'
import {
  findHeader,
  type Profile,
  type ProfileField,
  type ProfileRecord,
  type Where,
} from '../sources/index.ts'
import { quote } from '../values/sql/write.ts'
import type { SqlZone } from '../values/sql.ts'

/** How the text of one column comes out of a layout: SQL over c1…cn of the raw table. */
export interface ColumnText {
  readonly column: Column
  readonly field: ProfileField | null
  /** SQL of the text, or null when this profile does not give the column. */
  readonly text: string | null
  /** Both halves of the position stand in this one text. */
  readonly isPair: boolean
}

/** Everything the typing of one record entry of a profile needs. */
export interface Plan {
  readonly profile: Profile
  readonly record: ProfileRecord
  readonly rec: number
  readonly kind: Kind
  readonly layoutNo: number
  readonly header: readonly string[]
  readonly columns: readonly ColumnText[]
  /** Zones that bases are known to lie in, for times in the zone of the row's base. */
  readonly baseZones: readonly string[]
  /** Places of bulk columns that hold so few different texts that each is read once. */
  readonly fewTexts: ReadonlySet<number>
}

const bulkTypes = new Set<Column['type']>([
  'time',
  'date',
  'number',
  'integer',
  'volume',
  'length',
  'speed',
  'duration',
  'angle',
  'price',
  'money',
])

/** True for columns that SQL reads row by row; the others are read once per distinct text. */
export function isBulk(column: Column): boolean {
  return bulkTypes.has(column.type)
}

/** True for columns whose text is kept as it was written. */
export function isKeptText(column: Column): boolean {
  return (
    (column.type === 'text' && column.name !== 'zone') ||
    (column.type === 'reference' && !mustResolve(column))
  )
}

export function mustResolve(column: Column): boolean {
  return column.of === 'aircraft' || column.of === 'tank' || column.of === 'component' || column.of === 'item'
}

export function planOf(
  profile: Profile,
  rec: number,
  layoutNo: number,
  header: readonly string[],
  baseZones: readonly string[],
): Plan {
  const record = profile.records[rec]!
  const kind = kindOf(record.kind)
  const columns = kind.columns.map((column) => columnText(column, record, header))
  return { profile, record, rec, kind, layoutNo, header, columns, baseZones, fewTexts: new Set() }
}

/** Zone of a field's times as SQL; null when every time must carry its offset. */
export function zoneSql(plan: Plan, field: ProfileField | null): SqlZone | null {
  const rule = field?.zone ?? plan.profile.zone
  if (rule === null) return null
  return 'name' in rule ? rule : { expr: 'zone_map.zone', zones: plan.baseZones }
}

/** True when times are read in the zone of the row's base. */
export function needsBaseZone(plan: Plan): boolean {
  return plan.columns.some((one) => one.column.type === 'time' && 'expr' in (zoneSql(plan, one.field) ?? {}))
}

function columnText(column: Column, record: ProfileRecord, header: readonly string[]): ColumnText {
  const constant = record.constants[column.name]
  const field = record.fields.find((candidate) => candidate.columns.includes(column.name)) ?? null
  if (!field)
    return { column, field: null, text: constant === undefined ? null : quote(constant), isPair: false }
  const places = field.from.map((name) => findHeader(header, name)).filter((place) => place >= 0)
  const isHalf = field.columns.length === 2 && field.from.length === 2
  const isPair = field.columns.length === 2 && !isHalf
  const own = isHalf
    ? [findHeader(header, field.from[field.columns.indexOf(column.name)]!)].filter((place) => place >= 0)
    : places
  let text =
    own.length === 0
      ? null
      : own.length === 1
        ? cell(own[0]!)
        : `nullif(trim(concat_ws(' ', ${own.map(cell).join(', ')})), '')`
  if (isBulk(column) && text) text = withWords(text, field)
  if (field.default !== null)
    text = text ? `coalesce(val.tidy(${text}), ${quote(field.default)})` : quote(field.default)
  if (text === null && constant !== undefined) text = quote(constant)
  return { column, field, text, isPair }
}

function cell(place: number): string {
  return `c${place + 1}`
}

function withWords(text: string, field: ProfileField): string {
  const words = Object.entries(field.values)
  if (words.length === 0) return text
  return `CASE lower(val.tidy(${text})) ${words.map(([from, to]) => `WHEN ${quote(from.trim().toLowerCase())} THEN ${quote(to)}`).join(' ')} ELSE ${text} END`
}

/** SQL condition for rows whose cells are among the named texts. */
export function whereSql(where: Where, header: readonly string[]): string {
  const parts = Object.entries(where).map(([name, texts]) => {
    const place = findHeader(header, name)
    if (place < 0) return 'false'
    const keys = texts.map((text) => quote(text.trim().toLowerCase())).join(', ')
    return `coalesce(lower(trim(${cell(place)})), '') IN (${keys})`
  })
  return parts.length === 0 ? 'true' : parts.map((part) => `(${part})`).join(' AND ')
}

export function ignoreSql(plan: Pick<Plan, 'profile' | 'header'>): string {
  const { ignore } = plan.profile
  if (Object.keys(ignore).length === 0) return 'false'
  return Object.entries(ignore)
    .map(([name, texts]) => whereSql({ [name]: texts }, plan.header))
    .join(' OR ')
}

export function needsMap(column: Column): boolean {
  return !isBulk(column) && !isKeptText(column)
}

export const mapName = (index: number): string => `m${index}`

/** True when the column at this place is read through its map of distinct texts. */
export function hasMap(plan: Plan, index: number): boolean {
  const one = plan.columns[index]!
  return one.text !== null && (needsMap(one.column) || plan.fewTexts.has(index))
}

/** Temporary table with the distinct texts of one column, read: (text, value, flag, has_text). */
export const mapTable = (index: number): string => `temp.intake_map_${index}`

/** SQL hash of the cells of a raw row. */
export const rowHash = (width: number): string =>
  `hash(${Array.from({ length: width }, (_, i) => `c${i + 1}`).join(', ')})`

/** Number of a line's first record, as SQL over a row that has both: file_no · 2^32 + line · 16. The others follow it. */
export const lineNumber = `file_no::BIGINT * ${rowsOfFile} + line::BIGINT * ${recordsOfLine}`
