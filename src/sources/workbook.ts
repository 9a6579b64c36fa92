import { readFile } from 'node:fs/promises'
import { gunzipSync } from 'node:zlib'
import { isGzip } from './bytes.ts'
import { problem, SourceTrouble } from './problem.ts'

export interface Sheet {
  name: string
  /** Row k of the sheet is `rows[k - 1]`; cells as text, '' for an empty one. */
  rows: string[][]
}

const largest = 200 * 1024 * 1024
const resend = 'save it again as .xlsx without a password, or export the sheet as CSV'

/** True for bytes of a zip archive, which a workbook is. */
export function isZip(head: Uint8Array): boolean {
  return head[0] === 0x50 && head[1] === 0x4b && head[2] === 3 && head[3] === 4
}

/** True for a compound file: an encrypted workbook, or one of the old binary kind. */
export function isCompound(head: Uint8Array): boolean {
  return head[0] === 0xd0 && head[1] === 0xcf && head[2] === 0x11 && head[3] === 0xe0
}

let latest: { key: string; sheets: Sheet[] } | null = null

/**
 * All sheets of a workbook as text: dates as ISO local text (`2026-07-04T18:30:00`; only the day if a whole column
 * has no time of day; only the time for a time of day), numbers as the shortest decimal text of 15 digits.
 * `key` names this state of the file, so that the next question about it costs nothing.
 * @throws SourceTrouble for a broken, encrypted or too large workbook
 */
export async function readSheets(path: string, key: string): Promise<Sheet[]> {
  if (latest?.key === key) return latest.sheets
  const sent = await readFile(path)
  const bytes = isGzip(sent) ? unzipped(path, sent) : sent
  if (isCompound(bytes)) throw compoundTrouble(path, bytes)
  if (bytes.length > largest) {
    throw new SourceTrouble(problem(path, 'the workbook is larger than 200 MB', 'export its sheets as CSV'))
  }
  const { default: readWorkbook } = await import('read-excel-file/node')
  try {
    const sheets = await readWorkbook<string>(bytes, { trim: false, parseNumber: shortest })
    latest = {
      key,
      sheets: sheets.map(({ sheet, data }) => ({ name: sheet, rows: asText(data as unknown as Cell[][]) })),
    }
    return latest.sheets
  } catch {
    throw new SourceTrouble(
      problem(path, 'the file is a zip archive, but no workbook that can be read', resend),
    )
  }
}

function unzipped(path: string, sent: Buffer): Buffer {
  try {
    return gunzipSync(sent, { maxOutputLength: largest })
  } catch {
    throw new SourceTrouble(
      problem(
        path,
        'the gzip file is damaged or ends too early',
        'send the file again, whole; nothing of it was read',
      ),
    )
  }
}

/** An encrypted workbook holds a stream of this name. */
const encryptedName = Buffer.from('EncryptedPackage', 'utf16le')

export function compoundTrouble(path: string, bytes: Buffer): SourceTrouble {
  const isEncrypted = bytes.includes(encryptedName)
  const what = isEncrypted
    ? 'the workbook is protected with a password'
    : 'the file is of the old binary .xls kind'
  return new SourceTrouble(problem(path, what, resend))
}

/** What the library gives; its own type says the constructor of dates where it means a date. */
type Cell = string | boolean | Date | null

/** A spreadsheet keeps 15 digits; what stands behind them is noise. */
function shortest(number: string): string {
  const value = Number(number)
  return Number.isFinite(value) ? String(Number(value.toPrecision(15))) : number
}

function asText(data: readonly (readonly Cell[])[]): string[][] {
  const hasTime: boolean[] = []
  for (const row of data) {
    row.forEach((cell, column) => {
      if (cell instanceof Date && cell.getTime() % 86_400_000 !== 0) hasTime[column] = true
    })
  }
  return data.map((row) => row.map((cell, column) => cellText(cell, hasTime[column] === true)))
}

function cellText(cell: Cell, hasTime: boolean): string {
  if (cell === null) return ''
  if (cell instanceof Date) return dateText(cell, hasTime)
  if (typeof cell === 'boolean') return cell ? 'true' : 'false'
  return cell
}

/** Serial days are fractions: their milliseconds are noise up to a few thousandths of a second. */
function dateText(date: Date, hasTime: boolean): string {
  const whole = Math.round(date.getTime() / 1000) * 1000
  const ms = Math.abs(date.getTime() - whole) <= 5 ? whole : date.getTime()
  const iso = new Date(ms).toISOString().replace(/(\.000)?Z$/, '')
  if (ms < Date.UTC(1900, 0, 1)) return iso.slice(11)
  return hasTime ? iso : iso.slice(0, 10)
}
