import type { Column } from '../kinds/index.ts'
import type { ProfileField } from '../sources/index.ts'
import {
  isBlank,
  isZone,
  type Read,
  readAngle,
  readCoverageLevel,
  readDate,
  readDoors,
  readDurationMonthsOrNumber,
  readFluid,
  readFraction,
  readHoursRounding,
  readMeasure,
  readNumber,
  readPurpose,
  readTime,
  readWitness,
  readYesNo,
  readYesNoUnknown,
  suggest,
  tidy,
  type Unit,
} from '../values/index.ts'
import type { NameBooks } from './registry.ts'

export interface ReadContext {
  readonly decimal: '.' | ','
  /** Zone of local times; null when every time must carry its offset. */
  readonly zone: string | null
  readonly densityLbPerGal: number | null
  readonly books: NameBooks
}

export type ReadValue = string | number | readonly string[]
export interface ReadColumn {
  readonly value: ReadValue
  readonly flag: string | null
}

const bad = (reason: string): Read<ReadColumn> => ({ ok: false, reason })
const good = (value: ReadValue, flag: string | null = null): Read<ReadColumn> => ({
  ok: true,
  value: { value, flag },
})
const plain = <T extends ReadValue>(read: Read<T>): Read<ReadColumn> => (read.ok ? good(read.value) : read)

/** Unit a column's numbers are in when the profile names none. */
export const canonicalUnit: Partial<Record<Column['type'], Unit>> = {
  volume: 'gal_us',
  length: 'ft',
  speed: 'kt',
  duration: 's',
}

const wordReaders: Record<string, (text: string) => Read<string>> = {
  fluid: readFluid,
  purpose: readPurpose,
  witness: readWitness,
  overflow: readYesNo,
  repeats: readYesNo,
  met_fire: readYesNoUnknown,
  effective: readYesNoUnknown,
  hours_rounding: readHoursRounding,
}

/**
 * Reads one cell that is not blank. It says in plain words why a text cannot be read; the bulk path uses the same
 * rules in SQL, and comes here for distinct values and for the reasons of what it could not read.
 */
export function readColumn(
  column: Column,
  field: ProfileField | null,
  text: string,
  context: ReadContext,
): Read<ReadColumn> {
  const read = readByType(column, field, text, context)
  if (!read.ok || typeof read.value.value !== 'number') return read
  return inRange(column, read.value.value) ? read : bad(rangeReason(column, read.value.value))
}

function readByType(
  column: Column,
  field: ProfileField | null,
  text: string,
  context: ReadContext,
): Read<ReadColumn> {
  const { decimal } = context
  switch (column.type) {
    case 'text':
      if (column.name === 'zone')
        return isZone(text.trim())
          ? good(text.trim())
          : bad(`${text} is no IANA time zone, such as America/Denver`)
      return good(tidy(text) ?? '')
    case 'reference':
      return readReference(column, text, context)
    case 'time':
      return readMoment(field, text, context)
    case 'date':
      return plain(readDate(text, field?.formats))
    case 'integer': {
      const read = readNumber(text, decimal)
      return read.ok && !Number.isInteger(read.value) ? bad('not a whole number') : plain(read)
    }
    case 'number':
    case 'price':
    case 'money':
      return plain(readNumber(text, decimal))
    case 'volume':
    case 'length':
    case 'speed':
    case 'duration':
      return plain(
        readMeasure(text, {
          decimal,
          unit: field?.unit ?? canonicalUnit[column.type]!,
          densityLbPerGal: context.densityLbPerGal,
        }),
      )
    case 'angle':
      return plain(readAngle(text, { axis: column.name === 'latitude' ? 'lat' : 'lon', decimal }))
    case 'fraction':
      return plain(readFraction(text))
    case 'coverage': {
      const read = readCoverageLevel(text)
      return read.ok ? good(read.value.level, read.value.openEnded ? 'open-ended' : null) : read
    }
    case 'doors': {
      const read = readDoors(text)
      return read.ok ? good(read.value === 'all' ? ['all'] : read.value) : read
    }
    case 'list':
      return good(
        text
          .split(';')
          .map((part) => tidy(part))
          .filter((part): part is string => part !== null),
      )
    case 'interval': {
      const read = readDurationMonthsOrNumber(text)
      if (!read.ok) return read
      return good('months' in read.value ? `${read.value.months}mo` : String(read.value.count))
    }
    case 'choice':
      return readChoice(column, text)
  }
}

function readMoment(field: ProfileField | null, text: string, context: ReadContext): Read<ReadColumn> {
  const formats = field?.formats ?? []
  const read = readTime(text, { formats, zone: context.zone ?? 'UTC' })
  if (!read.ok) return read
  if (context.zone === null && formats.length === 0 && !new RegExp(offsetPattern).test(text.trim())) {
    return bad('the time has no offset: write it like 2026-07-04T20:05:00Z, or name its zone in a profile')
  }
  return good(read.value.toISOString())
}

/** How a text ends that itself says how far it is from UTC. */
export const offsetPattern = '([Zz]|[+-][0-9]{2}(:?[0-9]{2})?)$'

function readReference(column: Column, text: string, context: ReadContext): Read<ReadColumn> {
  const book = column.of
  if (book !== 'aircraft' && book !== 'tank' && book !== 'component' && book !== 'item')
    return good(tidy(text) ?? '')
  const found = context.books[book].resolve(tidy(text) ?? '')
  return found.target === null ? bad(found.reason) : good(found.target)
}

function readChoice(column: Column, text: string): Read<ReadColumn> {
  const choices = column.choices ?? []
  const reader = wordReaders[column.name]
  if (reader) {
    const read = reader(text)
    return read.ok && !choices.includes(read.value) ? bad(notAmong(text, choices)) : plain(read)
  }
  const key = (word: string) => word.toLowerCase().replace(/[\s_-]+/g, '')
  const found = choices.find((choice) => key(choice) === key(text))
  return found ? good(found) : bad(notAmong(text, choices))
}

function notAmong(text: string, choices: readonly string[]): string {
  const nearest = suggest(text, choices)
  return `not one of ${choices.join(', ')}${nearest && nearest.score > 0.6 ? `; did they mean ${nearest.best}?` : ''}`
}

function inRange(column: Column, value: number): boolean {
  return (
    value >= (column.min ?? Number.NEGATIVE_INFINITY) && value <= (column.max ?? Number.POSITIVE_INFINITY)
  )
}

function rangeReason(column: Column, value: number): string {
  // A converted value has digits that nobody wrote.
  const shown = Number(Math.abs(value) < 1 ? value.toPrecision(3) : value.toFixed(2))
  if (column.min !== undefined && value < column.min) return `${shown} is below ${column.min}`
  return `${shown} is above ${column.max}`
}

export { isBlank }
