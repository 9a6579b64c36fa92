import { isUtf8 } from 'node:buffer'
import { isBlankRow, readRecord } from './csv-record.ts'
import { namedWidth } from './header.ts'
import { lineBlocks, longestLine } from './line-blocks.ts'
import { HeaderAgain, headerLineKey, PlainLines } from './plain-line.ts'
import type { RowWriter } from './row-writer.ts'

export interface CsvLayout {
  delimiter: string
  header: readonly string[]
  /** Lines up to and with the header. */
  skip: number
}

/** A cell that runs over more lines or characters than this has lost its closing quotation mark. */
const longestRecord = { lines: 200, characters: 32_000 }

/** Why a row's number of cells does not fit its header; null when it does. Blank cells at the end may be more or fewer. */
export function widthTrouble(cells: readonly string[], header: readonly string[]): string | null {
  const width = header.length
  if (cells.length === width) return null
  if (cells.length > width && isBlankRow(cells.slice(width))) return null
  if (cells.length < width && cells.length >= namedWidth(header)) return null
  const count = (number: number) => `${number} cell${number === 1 ? '' : 's'}`
  return `the row has ${count(cells.length)}, the header has ${width}`
}

/**
 * Writes every row of a CSV that cannot be read as it stands. Plain lines are copied byte for byte; the others are
 * read with care, and what cannot be read becomes a problem row, so that the lines around it land.
 */
export async function rewriteCsv(
  chunks: AsyncIterable<Uint8Array>,
  layout: CsvLayout,
  writer: RowWriter,
): Promise<void> {
  const rewriter = new Rewriter(layout, writer)
  writer.names(layout.header.length)
  for await (const block of lineBlocks(chunks)) {
    if (block.isTooLong) rewriter.tooLong(block.bytes)
    else rewriter.lines(block.bytes)
    if (writer.isFull) await writer.flush()
  }
  rewriter.end()
}

class Rewriter {
  readonly #layout: CsvLayout
  readonly #writer: RowWriter
  readonly #plain: PlainLines
  readonly #again: HeaderAgain
  readonly #headerKey: string
  #line = 0
  /** Lines of a record whose quotation mark is still open. */
  #open: { line: number; texts: string[]; characters: number } | null = null

  constructor(layout: CsvLayout, writer: RowWriter) {
    this.#layout = layout
    this.#writer = writer
    this.#plain = new PlainLines(layout.delimiter)
    this.#again = new HeaderAgain(layout.header, layout.delimiter)
    this.#headerKey = headerLineKey(layout.header, layout.delimiter)
  }

  lines(bytes: Buffer): void {
    const allUtf8 = isUtf8(bytes)
    const width = this.#layout.header.length
    for (let at = 0; at < bytes.length; ) {
      const line = ++this.#line
      let end = this.#open === null && line > this.#layout.skip ? this.#plain.read(bytes, at) : -1
      const fits = end >= 0 && this.#plain.cells === width && end - at <= longestLine
      if (fits && (allUtf8 || isUtf8(bytes.subarray(at, end))) && !this.#again.matches(bytes, at, end)) {
        this.#writer.verbatim(line, bytes, at, this.#plain.isCrlf ? end - 1 : end)
        at = end + 1
        continue
      }
      end = bytes.indexOf(10, at)
      if (end < 0) end = bytes.length
      if (line > this.#layout.skip) this.#careful(line, bytes.subarray(at, end), allUtf8)
      at = end + 1
    }
  }

  tooLong(head: Buffer): void {
    const line = ++this.#line
    if (line <= this.#layout.skip) return
    this.#giveUp()
    this.#problem(line, 'the line is longer than 1 MB', `${head.toString('utf8')}…`)
  }

  end(): void {
    while (this.#open !== null) this.#giveUp()
  }

  #careful(line: number, bytes: Buffer, isKnownUtf8: boolean): void {
    if (bytes.length > longestLine) {
      this.#giveUp()
      this.#problem(line, 'the line is longer than 1 MB', `${bytes.subarray(0, 400).toString('utf8')}…`)
    } else if (!isKnownUtf8 && !isUtf8(bytes)) {
      this.#giveUp()
      this.#problem(line, 'the row has bytes that are not utf-8', bytes.toString('latin1'))
    } else this.#take(line, bytes.toString('utf8'))
  }

  /** Reads a line, alone or as the continuation of a record that is open. */
  #take(line: number, text: string): void {
    const open = this.#open
    if (open === null) {
      const record = readRecord(text, 0, this.#layout.delimiter)
      if (record.isOpen) this.#open = { line, texts: [text], characters: text.length }
      else if (record.trouble) this.#problem(line, record.trouble, text)
      else this.#row(line, record.cells, text)
      return
    }
    open.texts.push(text)
    open.characters += text.length + 1
    if (open.characters > longestRecord.characters || open.texts.length > longestRecord.lines) this.#giveUp()
    else if (text.includes('"')) this.#close(open.line, open.texts)
  }

  /** Ends the open record if these lines make it whole. */
  #close(line: number, texts: readonly string[]): void {
    const whole = texts.join('\n')
    const record = readRecord(whole, 0, this.#layout.delimiter)
    if (record.isOpen) return
    const isSwallowed = widthTrouble(record.cells, this.#layout.header) !== null && this.#isRow(texts[1]!)
    if (record.trouble || isSwallowed) this.#giveUp()
    else {
      this.#open = null
      this.#row(line, record.cells, whole)
    }
  }

  /** Only the line that opened the quotation mark is lost; the lines after it are read again, each for itself. */
  #giveUp(): void {
    const open = this.#open
    if (open === null) return
    this.#open = null
    this.#problem(open.line, 'a quotation mark is opened and never closed', open.texts[0]!)
    for (let index = 1; index < open.texts.length; index++) this.#take(open.line + index, open.texts[index]!)
  }

  /** True for a line that is a row by itself. */
  #isRow(text: string): boolean {
    const record = readRecord(text, 0, this.#layout.delimiter)
    return record.trouble === null && record.cells.length === this.#layout.header.length
  }

  #row(line: number, cells: string[], raw: string): void {
    if (isBlankRow(cells)) return
    const trouble = this.#rowTrouble(cells, raw)
    if (trouble) this.#problem(line, trouble, raw)
    else
      this.#writer.cells(
        line,
        Array.from(this.#layout.header, (_, index) => cells[index] ?? ''),
      )
  }

  #rowTrouble(cells: readonly string[], raw: string): string | null {
    if (raw.includes('\0')) return 'the row has a NUL byte'
    if (headerLineKey(cells, this.#layout.delimiter) === this.#headerKey) return 'the header line again'
    return widthTrouble(cells, this.#layout.header)
  }

  #problem(line: number, why: string, raw: string): void {
    this.#writer.problem(line, why, raw.replace(/\r$/, ''), this.#layout.header.length)
  }
}
