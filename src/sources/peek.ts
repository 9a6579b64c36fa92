import { contentHead } from './bytes.ts'
import { readRecord } from './csv-record.ts'
import { decodeHead, detectEncoding, isReadable } from './encoding.ts'
import type { FoundFile } from './found-file.ts'
import { headerKey, tidyHeader } from './header.ts'
import { jsonCell, readObject } from './json-line.ts'
import { problem, SourceTrouble } from './problem.ts'
import type { Encoding, Profile } from './profile.ts'
import { fileKey } from './row-landing.ts'
import { compoundTrouble, isCompound, isZip, readSheets, type Sheet } from './workbook.ts'

const headBytes = 131_072
/** A header stands among the first rows of a file. */
const headerRows = 25
const sampleRows = 60

/** One way to see the beginning of a file as rows. */
export interface View {
  container: 'csv' | 'jsonl' | 'xlsx'
  delimiter: string
  encoding: Encoding
  sheet: string | null
  rows: ViewRow[]
}

export interface ViewRow {
  cells: string[]
  keys: ReadonlySet<string>
  line: number
  span: number
}

/** The beginning of a file, seen as each profile would have it. */
export class Peek {
  readonly isGzip: boolean
  readonly container: 'text' | 'jsonl' | 'xlsx'
  readonly #head: Buffer
  readonly #isAll: boolean
  readonly #sheets: Sheet[]
  readonly #views = new Map<string, View>()

  private constructor(head: Buffer, isGzip: boolean, isAll: boolean, sheets: Sheet[] | null) {
    this.#head = head
    this.#isAll = isAll
    this.#sheets = sheets ?? []
    this.isGzip = isGzip
    const start = sheets ? '' : this.text('utf-8').trimStart()[0]
    this.container = sheets
      ? 'xlsx'
      : start === '{' || (start === '[' && this.#isJsonList())
        ? 'jsonl'
        : 'text'
  }

  /** @throws SourceTrouble for a file that holds nothing, or nothing that can be rows */
  static async at(file: FoundFile): Promise<Peek> {
    const { head, gzip, all } = await contentHead(file.path, headBytes)
    if (head.length === 0) throw trouble(file, 'the file is empty', 'send it again, or remove it')
    if (isCompound(head))
      throw compoundTrouble(file.path, (await contentHead(file.path, 64 * 1024 * 1024)).head)
    const sheets = isZip(head) ? await readSheets(file.path, fileKey(file)) : null
    const peek = new Peek(head, gzip, all, sheets)
    const { encoding } = detectEncoding(head, null)
    const start = decodeHead(head, encoding).slice(0, 10_000)
    if (!sheets && !isReadable(start) && !isReadable(firstLine(start))) {
      throw trouble(
        file,
        'the file is not text, nor a workbook',
        'send CSV, JSON lines or .xlsx, or remove it',
      )
    }
    if (!sheets && peek.text(encoding).trim() === '') {
      throw trouble(file, 'the file holds only blank lines', 'send it again, or remove it')
    }
    if (peek.container === 'jsonl' && peek.text(encoding).trimStart().startsWith('[')) {
      throw trouble(
        file,
        'the file is one JSON list',
        'write one JSON object a line, without brackets and commas around them',
      )
    }
    return peek
  }

  text(declared: Encoding | null): string {
    return decodeHead(this.#head, this.encoding(declared))
  }

  encoding(declared: Encoding | null): Encoding {
    return detectEncoding(this.#head, declared).encoding
  }

  /** The ways in which a profile (or, with null, anybody) can see this file. */
  views(profile: Pick<Profile, 'format' | 'csv' | 'xlsx'> | null): View[] {
    const format = this.container === 'text' ? 'csv' : this.container
    if (profile?.format && profile.format !== format) return []
    if (format === 'xlsx') return this.#sheetViews(profile?.xlsx.sheet ?? null)
    const encoding = this.encoding(profile?.csv.encoding ?? null)
    if (format === 'jsonl') return [this.#view(`jsonl ${encoding}`, () => this.#jsonView(encoding))]
    const delimiters = profile?.csv.delimiter ? [profile.csv.delimiter] : [',', ';', '\t', '|']
    return delimiters.map((delimiter) =>
      this.#view(`${delimiter} ${encoding}`, () => this.#csvView(delimiter, encoding)),
    )
  }

  #view(key: string, make: () => View): View {
    const known = this.#views.get(key)
    if (known) return known
    const view = make()
    this.#views.set(key, view)
    return view
  }

  #csvView(delimiter: string, encoding: Encoding): View {
    const decoded = this.text(encoding)
    const text = decoded.includes('\n') ? decoded : decoded.replaceAll('\r', '\n')
    const rows: ViewRow[] = []
    let line = 1
    for (let at = 0; at < text.length && rows.length < sampleRows; ) {
      let record = readRecord(text, at, delimiter)
      if (record.trouble)
        record = { ...readRecord(lineAt(text, at), 0, delimiter), end: at + lineAt(text, at).length + 1 }
      const isCut = record.end >= text.length && !this.#isAll
      const span = countLines(text, at, record.end)
      if (!isCut || rows.length === 0) rows.push(viewRow(record.cells, line, span))
      line += span
      at = record.end
    }
    return { container: 'csv', delimiter, encoding, sheet: null, rows }
  }

  #jsonView(encoding: Encoding): View {
    const lines = this.text(encoding).split('\n')
    if (!this.#isAll && lines.length > 1) lines.pop()
    const header: string[] = []
    const places = new Map<string, number>()
    const rows: ViewRow[] = []
    lines.slice(0, 5000).forEach((text, index) => {
      const read = readObject(text.trim())
      if (typeof read === 'string') return
      const cells: string[] = []
      for (const [key, value] of Object.entries(read)) {
        if (!places.has(key)) {
          places.set(key, header.length)
          header.push(key)
        }
        cells[places.get(key)!] = jsonCell(value)
      }
      if (rows.length < sampleRows)
        rows.push(
          viewRow(
            Array.from(cells, (cell) => cell ?? ''),
            index + 1,
            1,
          ),
        )
    })
    return {
      container: 'jsonl',
      delimiter: ',',
      encoding,
      sheet: null,
      rows: [viewRow(header, 0, 1), ...rows],
    }
  }

  #sheetViews(named: string | null): View[] {
    const sheets = this.#sheets.filter(({ name }) => named === null || headerKey(name) === headerKey(named))
    return sheets.map(({ name, rows }) =>
      this.#view(`sheet ${name}`, () => ({
        container: 'xlsx',
        delimiter: ',',
        encoding: 'utf-8',
        sheet: name,
        rows: rows.slice(0, sampleRows).map((cells, index) => viewRow(cells, index + 1, 1)),
      })),
    )
  }

  #isJsonList(): boolean {
    return /^\s*\[\s*[{[\]]/.test(this.text('utf-8'))
  }
}

/** The row that holds all of the signature, or null. `at` is the line where a profile says that it is. */
export function headerRow(view: View, signature: readonly string[], at: number | null): ViewRow | null {
  const wanted = signature.map(headerKey)
  const rows =
    at === null
      ? view.rows.slice(0, headerRows)
      : view.rows.filter((row) => row.line >= at && row.keys.size > 0).slice(0, 1)
  return rows.find(({ keys }) => wanted.every((key) => keys.has(key))) ?? null
}

function viewRow(cells: string[], line: number, span: number): ViewRow {
  const tidied = cells.map(tidyHeader)
  return { cells, keys: new Set(tidied.filter((cell) => cell !== '').map(headerKey)), line, span }
}

function firstLine(text: string): string {
  return /^[^\r\n]*/.exec(text)![0]
}

function lineAt(text: string, at: number): string {
  const end = text.indexOf('\n', at)
  return text.slice(at, end < 0 ? text.length : end)
}

function countLines(text: string, from: number, to: number): number {
  let count = 0
  for (let at = text.indexOf('\n', from); at >= 0 && at < to; at = text.indexOf('\n', at + 1)) count++
  return Math.max(count, 1)
}

function trouble(file: FoundFile, what: string, fix: string): SourceTrouble {
  return new SourceTrouble(problem(file.path, what, fix))
}
