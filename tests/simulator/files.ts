import { mkdirSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { type Cell, xlsx } from './xlsx.ts'

/** What becomes of a file's rows when the whole season has been read. */
export interface Fates {
  read: number
  accepted: number
  duplicate: number
  superseded: number
  quarantined: number
}

export interface SeasonFile {
  path: string
  bytes: Uint8Array
  /** Null where the truth cannot say, and for profiles. */
  fates: Fates | null
}

export type Row = Record<string, Cell>

const quoted = (cell: Cell, delimiter: string): string => {
  const text = cell === null ? '' : String(cell)
  return text.includes('"') || text.includes(delimiter) || text.includes('\n')
    ? `"${text.replaceAll('"', '""')}"`
    : text
}

export function csvText(headers: readonly string[], rows: readonly Row[], delimiter = ','): string {
  const lines = [headers, ...rows.map((row) => headers.map((header) => row[header] ?? null))]
  return `${lines.map((cells) => cells.map((cell) => quoted(cell, delimiter)).join(delimiter)).join('\n')}\n`
}

export const jsonlText = (rows: readonly Row[]): string =>
  rows.map((row) => `${JSON.stringify(row)}\n`).join('')

/** All rows of the file land, unless said otherwise. */
export const allAccepted = (read: number): Fates => ({
  read,
  accepted: read,
  duplicate: 0,
  superseded: 0,
  quarantined: 0,
})

export interface Form {
  format: 'csv' | 'jsonl' | 'xlsx'
  headers: readonly string[]
  delimiter?: string
  encoding?: 'utf-8' | 'utf-16' | 'windows-1252'
  gzip?: boolean
  sheet?: string
  /** Lines above the header row. */
  above?: readonly (readonly Cell[])[]
}

function encode(text: string, encoding: Form['encoding']): Uint8Array {
  if (encoding === 'utf-16') return Buffer.from(`\ufeff${text}`, 'utf16le')
  return encoding === 'windows-1252' ? Buffer.from(text, 'latin1') : Buffer.from(text)
}

export function fileOf(path: string, form: Form, rows: readonly Row[], fates?: Fates): SeasonFile {
  const { headers } = form
  const body = (): Uint8Array => {
    if (form.format === 'jsonl') return Buffer.from(jsonlText(rows))
    if (form.format === 'csv') return encode(csvText(headers, rows, form.delimiter), form.encoding)
    const cells = rows.map((row) => headers.map((header) => row[header] ?? null))
    return xlsx(form.sheet ?? 'Sheet1', [...(form.above ?? []), headers, ...cells])
  }
  return {
    path,
    bytes: form.gzip ? gzipSync(body(), { level: 9 }) : body(),
    fates: fates ?? allAccepted(rows.length),
  }
}

export const profileFile = (profile: { profile: string }): SeasonFile => ({
  path: `profiles/${profile.profile}.json`,
  bytes: Buffer.from(`${JSON.stringify(profile, null, 2)}\n`),
  fates: null,
})

/** Writes the files under a folder, making what folders they need. */
export function writeFiles(folder: string, files: readonly { path: string; bytes: Uint8Array }[]): void {
  for (const { path, bytes } of files) {
    const place = join(folder, path)
    mkdirSync(dirname(place), { recursive: true })
    writeFileSync(place, bytes)
  }
}
