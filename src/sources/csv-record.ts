/** One record of a CSV text. */
export interface CsvRecord {
  cells: string[]
  /** Where the next record starts. */
  end: number
  /** Why it is no well-formed record; null when it is one. */
  trouble: string | null
  /** A quotation mark was opened and the text ended before it closed. */
  isOpen: boolean
}

/**
 * Reads the record that starts at `start`. Cells in double quotes may hold delimiters, line breaks and doubled quotes
 * (RFC 4180); spaces around the quotes are dropped; a quote inside an unquoted cell is a character like any other.
 * Lines end with LF or CRLF.
 */
export function readRecord(text: string, start: number, delimiter: string): CsvRecord {
  const cells: string[] = []
  let at = start
  for (;;) {
    const quote = openingQuote(text, at, delimiter)
    if (quote < 0) {
      const end = cellEnd(text, at, delimiter)
      const isLast = end >= text.length || text[end] === '\n'
      const stop = isLast && text[end - 1] === '\r' && end > at ? end - 1 : end
      cells.push(text.slice(at, stop))
      if (isLast) return { cells, end: Math.min(end + 1, text.length), trouble: null, isOpen: false }
      at = end + 1
      continue
    }
    const close = closingQuote(text, quote + 1)
    if (close < 0) {
      return { cells, end: text.length, trouble: 'a quotation mark is opened and never closed', isOpen: true }
    }
    cells.push(text.slice(quote + 1, close).replaceAll('""', '"'))
    let next = close + 1
    while (text[next] === ' ') next++
    if (text[next] === delimiter) {
      at = next + 1
      continue
    }
    if (text[next] === '\r' && (next + 1 >= text.length || text[next + 1] === '\n')) next++
    if (next >= text.length || text[next] === '\n') {
      return { cells, end: Math.min(next + 1, text.length), trouble: null, isOpen: false }
    }
    const trouble = 'there is text behind a closing quotation mark'
    return { cells, end: lineEnd(text, next), trouble, isOpen: false }
  }
}

function openingQuote(text: string, at: number, delimiter: string): number {
  let first = at
  while (text[first] === ' ' && delimiter !== ' ') first++
  return text[first] === '"' ? first : -1
}

function closingQuote(text: string, from: number): number {
  let at = text.indexOf('"', from)
  while (at >= 0 && text[at + 1] === '"') at = text.indexOf('"', at + 2)
  return at
}

function cellEnd(text: string, from: number, delimiter: string): number {
  let at = from
  while (at < text.length && text[at] !== delimiter && text[at] !== '\n') at++
  return at
}

function lineEnd(text: string, from: number): number {
  const at = text.indexOf('\n', from)
  return at < 0 ? text.length : at + 1
}

/** A cell as it is written into a clean CSV: in quotes when it must be, nothing for an empty one. */
export function csvCell(text: string, delimiter: string): string {
  const plain = text.includes('\0') ? text.replaceAll('\0', '\u2400') : text
  const needs =
    plain.includes('"') || plain.includes('\n') || plain.includes('\r') || plain.includes(delimiter)
  return needs || /^\s|\s$/.test(plain) ? `"${plain.replaceAll('"', '""')}"` : plain
}

/** True when every cell is empty or holds only spaces. */
export function isBlankRow(cells: readonly string[]): boolean {
  return cells.every((cell) => /^[ \t\u00a0]*$/.test(cell))
}
