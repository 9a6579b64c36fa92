import { z } from 'zod'
import { type Column, fieldName, type Kind, kinds, witnesses } from '../kinds/index.ts'
import { encodings, formats } from './profile.ts'

/** Units a profile may name. */
export const profileUnits = [
  'gal_us',
  'gal_imp',
  'L',
  'hL',
  'lb',
  'kg',
  'ft',
  'm',
  'kt',
  'km/h',
  'mph',
  's',
  'min',
] as const

const text = z.string().min(1, 'must not be empty')
const oneOrMore = z.union([text, z.array(text).min(1, 'must name at least one')])
const notes = z
  .union([z.string(), z.array(z.string())])
  .describe('Anything that a person should know; never used.')
  .optional()
const plain = z.union([z.string(), z.number(), z.boolean()])
const texts = z.union([plain, z.array(plain).min(1, 'must name at least one text')])
const zone = z
  .union([text, z.strictObject({ from: z.literal('base') })])
  .describe('IANA name such as America/Boise, UTC, or {"from": "base"}: the zone of the row\'s base.')
const where = z.record(text, texts).describe('Header → text or list of texts that its cell must be.')

const field = z.strictObject({
  from: oneOrMore.describe('Header, or headers in the order in which their cells are joined with a space.'),
  unit: z.enum(profileUnits).describe('Unit of a number that has none written behind it.').optional(),
  format: oneOrMore
    .describe(
      'Time formats tried in order: strptime patterns, epoch_s, epoch_ms or excel_serial; else ISO 8601.',
    )
    .optional(),
  zone: zone.optional(),
  values: z.record(z.string(), plain).describe('Text as written → text that is read instead.').optional(),
  default: plain.describe('Read when the cell is blank.').optional(),
  notes,
})

export type FieldSpec = z.infer<typeof field>

/** The names under which a profile may speak of a kind's columns. */
export function fieldNames(kind: Kind): Map<string, readonly string[]> {
  const names = new Map<string, readonly string[]>()
  for (const column of kind.columns) {
    names.set(column.name, [column.name])
    names.set(fieldName(column.name), [column.name])
  }
  if (hasPosition(kind.columns)) names.set('position', place)
  return names
}

const place = ['latitude', 'longitude'] as const
const hasPosition = (columns: readonly Column[]) =>
  place.every((name) => columns.some((column) => column.name === name))

function about(kind: Kind, columns: readonly string[]): string {
  if (columns.length > 1) return 'latitude and longitude, from one column or two'
  const column = kind.columns.find(({ name }) => name === columns[0])!
  return column.choices ? `${column.about}: ${column.choices.join(', ')}` : column.about
}

function recordOf(kind: Kind) {
  const names = [...fieldNames(kind)]
  const fields = Object.fromEntries(
    names.map(([name, columns]) => [name, field.describe(about(kind, columns)).optional()]),
  )
  const constants = Object.fromEntries(
    names
      .filter(([, columns]) => columns.length === 1)
      .map(([name, columns]) => [name, plain.describe(about(kind, columns)).optional()]),
  )
  return z
    .strictObject({
      kind: z.literal(kind.name),
      witness: z.enum(witnesses).describe('Who recorded these rows.').optional(),
      where: where.optional(),
      fields: z.strictObject(fields),
      constants: z.strictObject(constants).describe('Columns with one text for every row.').optional(),
      notes,
    })
    .describe(kind.about)
}

const records = kinds.map(recordOf)

const issuedAt = z
  .union([
    text,
    z.strictObject({ column: text, format: oneOrMore.optional() }),
    z.strictObject({ name: text, format: oneOrMore.optional() }),
  ])
  .describe(
    'When the file was issued, which orders re-sent files. {"column": header}: the first value of that column. ' +
      '{"name": pattern}: a regular expression on the file\'s name; its first group, or its groups year, month, day, ' +
      'hour, minute, is taken. A plain string is a header if it is one of `headers`, else such a pattern.',
  )

/** What people write. `parseProfile` makes a `Profile` of it. */
export const profileSpec = z.strictObject({
  $schema: z.string().optional(),
  profile: text.describe('Name of the profile.'),
  format: z.enum(formats).default('csv').describe('csv, jsonl or xlsx; any of them may be gzip-compressed.'),
  csv: z
    .strictObject({
      delimiter: z
        .string()
        .regex(/^[^"\r\n\w]$/, 'must be one character such as , ; | or a tab')
        .describe('One character; found out when left out.')
        .optional(),
      encoding: z.enum(encodings).describe('Found out when left out; a byte order mark wins.').optional(),
      skip: z.int().min(0).max(1000).describe('Lines before the header line.').optional(),
      decimal: z.enum(['.', ',']).optional(),
    })
    .optional(),
  xlsx: z
    .strictObject({
      sheet: text.describe('Name of the sheet; the first that fits when left out.').optional(),
      header_row: z.int().min(1).max(1000).describe('Row of the headers, from 1.').optional(),
    })
    .optional(),
  decimal: z.enum(['.', ',']).describe('Decimal sign of numbers.').optional(),
  headers: z
    .array(text)
    .min(1, 'must name at least one header')
    .describe('Signature: a file fits when all of these are among its headers.'),
  zone: zone.optional(),
  sends: z
    .enum(['increment', 'whole'])
    .describe('What a re-sent file holds: what is new, or everything again.')
    .optional(),
  issued_at: issuedAt.optional(),
  density_lb_per_gal: z
    .number()
    .min(1)
    .max(20)
    .describe('Weight of the fluid, pounds per US gallon, for volumes given by weight.')
    .optional(),
  ignore: where.describe('Header → texts of lines that are no records (any header that fits).').optional(),
  records: z
    .array(z.discriminatedUnion('kind', [records[0]!, ...records.slice(1)]))
    .min(1, 'must describe at least one record kind'),
  notes,
})

export type ProfileSpec = z.infer<typeof profileSpec>
