import { basename } from 'node:path'
import { readTime } from '../values/index.ts'
import type { FoundFile } from './found-file.ts'
import { findHeader } from './header.ts'
import type { View, ViewRow } from './peek.ts'
import type { Profile } from './profile.ts'

const parts = ['year', 'month', 'day', 'hour', 'minute', 'second'] as const

/** When a file was issued, as its profile says: a text that sorts in order of time, or null if the file does not tell. */
export function issuedAtOf(profile: Profile, file: FoundFile, view: View, header: ViewRow): string | null {
  const rule = profile.issuedAt
  if (rule === null) return null
  if ('name' in rule) {
    const found = new RegExp(rule.name, 'i').exec(basename(file.path))
    if (!found) return null
    const groups = found.groups ?? {}
    const written = groups.year
      ? fromGroups(groups)
      : (found.slice(1).find((group) => group !== undefined) ?? null)
    return written === null ? null : sortable(written, rule.formats)
  }
  const column = findHeader(header.cells, rule.column)
  if (column < 0) return null
  const rows = view.rows.slice(view.rows.indexOf(header) + 1)
  const value = rows.map(({ cells }) => cells[column]?.trim()).find((cell) => cell)
  return value ? sortable(value, rule.formats) : null
}

function fromGroups(groups: Record<string, string | undefined>): string {
  const [year, month, day, hour, minute, second] = parts.map((part) => groups[part]?.padStart(2, '0') ?? '00')
  return `${year!.length === 2 ? `20${year}` : year}-${month}-${day}T${hour}:${minute}:${second}Z`
}

/** ISO 8601 for what reads as a day or a moment; else the text with its numbers filled up so that 9 comes before 10. */
function sortable(written: string, formats: readonly string[]): string {
  const compact = /^(\d{4})(\d{2})(\d{2})(?:[T_ -]?(\d{2})(\d{2})(\d{2})?)?Z?$/.exec(written)
  const iso = compact
    ? `${compact[1]}-${compact[2]}-${compact[3]}T${compact[4] ?? '00'}:${compact[5] ?? '00'}:${compact[6] ?? '00'}Z`
    : written
  for (const text of formats.length > 0 ? [written] : [iso, `${iso}T00:00:00Z`]) {
    const read = readTime(text, { formats, zone: 'UTC' })
    if (read.ok) return read.value.toISOString()
  }
  return written.replace(/\d+/g, (digits) => digits.padStart(16, '0'))
}
