import { createHash, randomUUID } from 'node:crypto'
import { rm, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { contentBytes, fileBytes } from './bytes.ts'
import { isBlankRow } from './csv-record.ts'
import { widthTrouble } from './csv-rewrite.ts'
import { utf8Bytes } from './encoding.ts'
import type { FoundFile } from './found-file.ts'
import { jsonCell, readObject } from './json-line.ts'
import type { Landing, Recognized } from './landing.ts'
import { lineBlocks, longestLine } from './line-blocks.ts'
import { headerLineKey } from './plain-line.ts'
import type { SourceProblem } from './problem.ts'
import { RowWriter } from './row-writer.ts'
import { readSheets } from './workbook.ts'

const delimiter = ','

/** Lands a sheet of a workbook: one row per sheet row below the header. */
export async function landSheet(
  file: FoundFile,
  recognized: Recognized,
  scratchDir: string,
): Promise<Landing> {
  const sheets = await readSheets(file.path, fileKey(file))
  const sheet = sheets.find(({ name }) => name === recognized.sheet)!
  const headerKey = headerLineKey(recognized.header, delimiter)
  const width = recognized.header.length
  const csvPath = join(scratchDir, `${randomUUID()}.clean.csv`)
  const writer = await RowWriter.create(csvPath, delimiter)
  try {
    writer.names(width)
    for (let index = recognized.headerLine; index < sheet.rows.length; index++) {
      const cells = sheet.rows[index]!
      if (isBlankRow(cells)) continue
      const trimmed =
        cells.length < width ? [...cells, ...Array<string>(width - cells.length).fill('')] : cells
      const isAgain = headerLineKey(trimmed.slice(0, width), delimiter) === headerKey
      const trouble = isAgain ? 'the header line again' : widthTrouble(trimmed, recognized.header)
      if (trouble) writer.problem(index + 1, trouble, cells.join('\t'), width)
      else writer.cells(index + 1, trimmed.slice(0, width))
      if (writer.isFull) await writer.flush()
    }
  } finally {
    await writer.close()
  }
  const hash = createHash('sha256')
  for await (const _ of fileBytes(file.path, hash));
  return landing(csvPath, recognized.header, writer, hash.digest('hex'), [])
}

/** Names a state of a file. */
export function fileKey(file: FoundFile): string {
  return `${file.path}\n${file.bytes}\n${file.modifiedAt.getTime()}`
}

/** Lands a file of JSON objects, one a line. A key that first appears late sends the reading back to the start, once. */
export async function landJsonLines(
  file: FoundFile,
  recognized: Recognized,
  scratchDir: string,
): Promise<Landing> {
  const csvPath = join(scratchDir, `${randomUUID()}.clean.csv`)
  let header = recognized.header
  for (;;) {
    const keys = new Map(header.map((key, index) => [key, index]))
    const hash = createHash('sha256')
    const writer = await RowWriter.create(csvPath, delimiter)
    try {
      writer.names(header.length)
      const chunks = contentBytes(file.path, recognized.isGzip, hash)
      await writeObjects(utf8Bytes(chunks, recognized.encoding, false), keys, header.length, writer)
    } catch (error) {
      await rm(csvPath, { force: true })
      throw error
    } finally {
      await writer.close()
    }
    if (keys.size === header.length) return landing(csvPath, header, writer, hash.digest('hex'), [])
    header = [...keys.keys()]
  }
}

async function writeObjects(
  chunks: AsyncIterable<Uint8Array>,
  keys: Map<string, number>,
  width: number,
  writer: RowWriter,
): Promise<void> {
  let line = 0
  for await (const { bytes, isTooLong } of lineBlocks(chunks)) {
    for (let at = 0; at < bytes.length; ) {
      const feed = bytes.indexOf(10, at)
      const end = feed < 0 ? bytes.length : feed
      line++
      if (isTooLong || end - at > longestLine) {
        writer.problem(line, 'the line is longer than 1 MB', bytes.toString('utf8', at, at + 400), width)
        if (isTooLong) break
      } else writeObject(bytes.toString('utf8', at, end), line, keys, width, writer)
      at = end + 1
    }
    if (writer.isFull) await writer.flush()
  }
}

function writeObject(
  text: string,
  line: number,
  keys: Map<string, number>,
  width: number,
  writer: RowWriter,
): void {
  const raw = text.replace(/^\ufeff/, '').trim()
  if (raw === '') return
  const read = readObject(raw)
  if (typeof read === 'string') {
    writer.problem(line, read, raw, width)
    return
  }
  const cells = Array<string>(width).fill('')
  for (const [key, value] of Object.entries(read)) {
    let index = keys.get(key)
    if (index === undefined) {
      index = keys.size
      keys.set(key, index)
    }
    if (index < width) cells[index] = jsonCell(value)
  }
  if (!isBlankRow(cells)) writer.cells(line, cells)
}

async function landing(
  csvPath: string,
  header: string[],
  writer: RowWriter,
  sha256: string,
  notes: SourceProblem[],
): Promise<Landing> {
  const { rowCount, problemCount } = writer
  const csv = { delimiter, quote: '"', escape: '"', skip: 1 } as const
  return { csvPath, direct: false, isScratch: true, header, csv, rowCount, problemCount, sha256, notes }
}

/** The file as it is now, for a caller that has only its path. */
export async function foundFile(path: string): Promise<FoundFile> {
  const facts = await stat(path)
  return { path, bytes: facts.size, modifiedAt: facts.mtime }
}
