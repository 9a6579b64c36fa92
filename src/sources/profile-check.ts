import { type Column, fieldName, type Kind, kindOf } from '../kinds/index.ts'
import { type Dimension, isZone, timeFormatTrouble, type Unit, units } from '../values/index.ts'
import type { Profile, ProfileField, ProfileRecord } from './profile.ts'
import type { ProfileSpec } from './profile-spec.ts'
import { didYouMean } from './profile-trouble.ts'

const dimensions: Partial<Record<Column['type'], readonly Dimension[]>> = {
  volume: ['volume', 'weight'],
  length: ['length'],
  speed: ['speed'],
  duration: ['duration'],
}

/** What a well-formed profile still gets wrong about record kinds, units, zones and patterns; empty is good. */
export function checkProfile(profile: Profile, spec: ProfileSpec): string[] {
  const troubles = [...zoneTroubles('zone', spec.zone), ...issuedAtTroubles(profile)]
  if (profile.format === 'xlsx' && spec.csv) troubles.push("csv is given, but the format is 'xlsx'")
  if (profile.format !== 'xlsx' && spec.xlsx)
    troubles.push(`xlsx is given, but the format is '${profile.format}'`)
  profile.records.forEach((record, index) => {
    const written = spec.records[index]!.fields as Record<string, { zone?: ProfileSpec['zone'] } | undefined>
    troubles.push(...recordTroubles(record, `records[${index}]`))
    for (const [name, field] of Object.entries(written)) {
      troubles.push(...zoneTroubles(`records[${index}].fields.${name}.zone`, field?.zone))
    }
  })
  return troubles
}

function recordTroubles(record: ProfileRecord, at: string): string[] {
  const kind = kindOf(record.kind)
  const troubles: string[] = []
  const given = new Map<string, string>()
  for (const field of record.fields) {
    for (const column of field.columns) {
      const earlier = given.get(column)
      if (earlier) troubles.push(`${at}.fields gives ${column} twice, by '${earlier}' and '${field.field}'`)
      given.set(column, field.field)
    }
    troubles.push(...fieldTroubles(field, kind, `${at}.fields.${field.field}`))
  }
  for (const [column, value] of Object.entries(record.constants)) {
    if (given.has(column)) troubles.push(`${at} gives ${column} twice, by a field and a constant`)
    given.set(column, column)
    troubles.push(...choiceTroubles(columnOf(kind, column), value, `${at}.constants.${column}`))
  }
  const missing = kind.columns.filter(({ name, required }) => required && !given.has(name))
  if (missing.length > 0) {
    const names = missing.map(({ name }) => `'${fieldName(name)}'`).join(', ')
    troubles.push(`${at} is a ${kind.name} and must give ${names} in fields or constants`)
  }
  if (record.witness !== null && kind.witness === null) {
    troubles.push(`${at}.witness: a ${kind.name} has no witness`)
  }
  return troubles
}

function columnOf(kind: Kind, name: string): Column {
  return kind.columns.find((column) => column.name === name)!
}

function fieldTroubles(field: ProfileField, kind: Kind, at: string): string[] {
  const column = columnOf(kind, field.columns[0]!)
  const troubles: string[] = []
  const isTime = column.type === 'time' || column.type === 'date'
  if (field.formats.length > 0 && !isTime) troubles.push(`${at} has a time format, but it is no time`)
  for (const format of field.formats) {
    const trouble = timeFormatTrouble(format)
    if (trouble) troubles.push(`${at}: ${trouble}`)
  }
  if (field.unit !== null) {
    const fits = dimensions[column.type]
    if (!fits) troubles.push(`${at} has a unit, but it is not measured in units`)
    else if (!fits.includes(units[field.unit as Unit].dimension)) {
      troubles.push(`${at}: the unit ${field.unit} does not measure a ${fits[0]}`)
    }
  }
  const isPosition = field.columns.length > 1
  if (isPosition && field.from.length > 2) troubles.push(`${at} must come from one column or two`)
  if (!isPosition && field.from.length > 1 && column.type in dimensions) {
    troubles.push(`${at} must come from one column`)
  }
  for (const [from, to] of Object.entries(field.values)) {
    troubles.push(...choiceTroubles(column, to, `${at}.values['${from}']`))
  }
  if (field.default !== null) troubles.push(...choiceTroubles(column, field.default, `${at}.default`))
  return troubles
}

function choiceTroubles(column: Column, value: string, at: string): string[] {
  if (!column.choices || value === '' || column.choices.includes(value)) return []
  return [
    `${at} is '${value}', but must be one of ${column.choices.join(', ')}${didYouMean(value, column.choices)}`,
  ]
}

function zoneTroubles(at: string, zone: ProfileSpec['zone']): string[] {
  if (typeof zone !== 'string' || isZone(zone)) return []
  const near = didYouMean(zone, Intl.supportedValuesOf('timeZone'))
  return [`${at} is '${zone}', which is no IANA zone such as America/Denver${near}`]
}

function issuedAtTroubles({ issuedAt }: Profile): string[] {
  if (issuedAt === null) return []
  const formats = issuedAt.formats.flatMap((format) => timeFormatTrouble(format) ?? [])
  if (!('name' in issuedAt)) return formats.map((trouble) => `issued_at: ${trouble}`)
  try {
    new RegExp(issuedAt.name)
  } catch {
    return [`issued_at: '${issuedAt.name}' is no regular expression`]
  }
  const groups = new RegExp(`${issuedAt.name}|`).exec('')!.length - 1
  if (groups > 0) return formats.map((trouble) => `issued_at: ${trouble}`)
  return [`issued_at: '${issuedAt.name}' is no header, and as a pattern it has no group in parentheses`]
}
