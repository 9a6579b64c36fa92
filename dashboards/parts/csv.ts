import { type Row, textOf } from '../rows.ts'

/** RFC 4180 text of some columns. A text that begins like a formula gets an apostrophe, so that no spreadsheet runs it. */
export function csvOf(columns: readonly string[], rows: readonly Row[]): string {
  const lines = rows.map((row) => columns.map((name) => field(row[name])).join(','))
  return `${[columns.join(','), ...lines].join('\r\n')}\r\n`
}

function field(value: Row[string] | undefined): string {
  const text = textOf(value)
  const safe =
    typeof value !== 'number' && /^[=+\-@\t\r]/.test(text) && !/^-?\d+(\.\d+)?$/.test(text)
      ? `'${text}`
      : text
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe
}
