import { type FileHandle, open } from 'node:fs/promises'
import { csvCell } from './csv-record.ts'

const flushBytes = 4 * 1024 * 1024
const longestSurplus = 16_000

/**
 * Writes rows of text into a clean CSV file: `line`, `problem`, `surplus`, then the cells. Rows are gathered in
 * memory; call `flush` now and then.
 */
export class RowWriter {
  rowCount = 0
  problemCount = 0
  readonly #delimiter: string
  readonly #handle: FileHandle
  #buffer = Buffer.allocUnsafe(flushBytes + 65_536)
  #length = 0

  private constructor(handle: FileHandle, delimiter: string) {
    this.#handle = handle
    this.#delimiter = delimiter
  }

  static async create(path: string, delimiter: string): Promise<RowWriter> {
    return new RowWriter(await open(path, 'w'), delimiter)
  }

  /** The line of names at the top: `line`, `problem`, `surplus`, `c1` to `cn`. */
  names(width: number): void {
    const cells = Array.from({ length: width }, (_, index) => `c${index + 1}`)
    this.#text(`${['line', 'problem', 'surplus', ...cells].join(this.#delimiter)}\n`)
  }

  /** A row whose bytes can stand as they are: no line break in it or behind it. */
  verbatim(line: number, bytes: Buffer, start: number, end: number): void {
    this.#reserve(end - start + 32)
    this.#number(line)
    const delimiter = this.#delimiter.charCodeAt(0)
    this.#buffer[this.#length++] = delimiter
    this.#buffer[this.#length++] = delimiter
    this.#buffer[this.#length++] = delimiter
    this.#length += bytes.copy(this.#buffer, this.#length, start, end)
    this.#buffer[this.#length++] = 10
    this.rowCount++
  }

  cells(line: number, cells: readonly string[]): void {
    const d = this.#delimiter
    this.#text(`${line}${d}${d}${d}${cells.map((cell) => csvCell(cell, d)).join(d)}\n`)
    this.rowCount++
  }

  /** A row that cannot be read: why, and its text as it stood, shortened if it is very long. */
  problem(line: number, why: string, raw: string, width: number): void {
    const d = this.#delimiter
    const text = raw.length > longestSurplus ? `${raw.slice(0, longestSurplus)}…` : raw
    this.#text(`${line}${d}${csvCell(why, d)}${d}${csvCell(text, d)}${d.repeat(width)}\n`)
    this.rowCount++
    this.problemCount++
  }

  get isFull(): boolean {
    return this.#length >= flushBytes
  }

  async flush(): Promise<void> {
    let from = 0
    while (from < this.#length) {
      const { bytesWritten } = await this.#handle.write(this.#buffer, from, this.#length - from)
      from += bytesWritten
    }
    this.#length = 0
  }

  async close(): Promise<void> {
    try {
      await this.flush()
    } finally {
      await this.#handle.close()
    }
  }

  #text(text: string): void {
    this.#reserve(text.length * 3)
    this.#length += this.#buffer.write(text, this.#length, 'utf8')
  }

  #number(value: number): void {
    let digits = 1
    for (let power = 10; power <= value; power *= 10) digits++
    let rest = value
    for (let at = this.#length + digits - 1; at >= this.#length; at--) {
      const next = Math.floor(rest / 10)
      this.#buffer[at] = 48 + rest - next * 10
      rest = next
    }
    this.#length += digits
  }

  #reserve(bytes: number): void {
    if (this.#length + bytes <= this.#buffer.length) return
    const larger = Buffer.allocUnsafe(Math.max(this.#buffer.length * 2, this.#length + bytes))
    this.#buffer.copy(larger, 0, 0, this.#length)
    this.#buffer = larger
  }
}
