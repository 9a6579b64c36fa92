import { rm, stat } from 'node:fs/promises'
import type { FoundFile, Landing, Recognized, SourceProblem } from '../sources/index.ts'
import { quote } from '../values/sql/write.ts'
import type { Warehouse } from '../warehouse/index.ts'

/** Layouts by their headers: files with the same headers share a table. */
export class Layouts {
  readonly #warehouse: Warehouse
  readonly #known: Map<string, number>

  private constructor(warehouse: Warehouse, known: Map<string, number>) {
    this.#warehouse = warehouse
    this.#known = known
  }

  static async read(warehouse: Warehouse): Promise<Layouts> {
    const rows = await warehouse.rows<{ layout_no: number; header: string[] }>(
      'SELECT layout_no, header FROM raw.layout ORDER BY layout_no',
    )
    return new Layouts(warehouse, new Map(rows.map((row) => [JSON.stringify(row.header), row.layout_no])))
  }

  /** The number of the layout with these headers; its table is made where it is new, as suits the file that brings it. */
  async of(landing: Landing): Promise<number> {
    const { header } = landing
    const same = this.#known.get(JSON.stringify(header))
    if (same !== undefined) return same
    const layoutNo = Math.max(0, ...this.#known.values()) + 1
    const stored = await storageOf(this.#warehouse, landing)
    const cells = header.map((_, i) => `c${i + 1} VARCHAR ${stored[i]!}`).join(', ')
    await this.#warehouse.run(
      `CREATE TABLE raw.layout_${layoutNo}(file_no INTEGER, line INTEGER, problem VARCHAR, surplus VARCHAR, ${cells})`,
    )
    await this.#warehouse.append('raw.layout', { layout_no: [layoutNo], header: [[...header]] })
    this.#known.set(JSON.stringify(header), layoutNo)
    return layoutNo
  }
}

/** Rows that are looked at to say how the cells of a file are best compressed. */
const sampleRows = 4096

/**
 * How the cells of each column are compressed. Left alone, the database tries all it has on every column, which is a
 * quarter of the time that a large file takes to land: by what its first rows show, words that return are kept once,
 * and texts that are mostly new as texts. Small files, which land together in one transaction, are left alone.
 */
async function storageOf(warehouse: Warehouse, landing: Landing): Promise<string[]> {
  const cells = cellNames(landing)
  const untold = cells.map(() => '')
  if (warehouse.isInTransaction || landing.rowCount < sampleRows) return untold
  const longest = landing.direct ? longestCsvLine : longestOtherLine
  const counts = cells.map((cell) => `approx_count_distinct(${cell})::INTEGER AS ${cell}`).join(', ')
  const first = `SELECT ${cells.join(', ')} FROM ${readCsv(landing, columnNames(landing), longest, longest)} LIMIT ${sampleRows}`
  // What cannot be read now is told when it lands.
  const [seen] = await warehouse
    .rows<Record<string, number>>(`SELECT ${counts} FROM (${first})`)
    .catch(() => [])
  if (!seen) return untold
  return cells.map((cell) => `USING COMPRESSION ${2 * seen[cell]! > sampleRows ? 'fsst' : 'dictionary'}`)
}

const cellNames = ({ header }: Landing): string[] => header.map((_, i) => `c${i + 1}`)

/** Columns of the CSV that is read. */
const columnNames = (landing: Landing): string[] =>
  landing.direct ? cellNames(landing) : ['line', 'problem', 'surplus', ...cellNames(landing)]

/**
 * Puts the rows of a prepared file into its layout, as text, with their lines.
 * @returns null, or that the file went away or changed after it was looked over; then none of its rows stays.
 */
export async function landRows(
  warehouse: Warehouse,
  fileNo: number,
  layoutNo: number,
  file: FoundFile,
  recognized: Recognized,
  landing: Landing,
): Promise<SourceProblem | null> {
  const isOwn = landing.direct && !landing.isScratch
  if (isOwn && !(await isAsFound(file))) return changed(file)
  await insertRows(warehouse, fileNo, layoutNo, file, recognized, landing)
  if (landing.isScratch) await rm(landing.csvPath, { force: true })
  if (!isOwn) return null
  const table = `raw.layout_${layoutNo}`
  const count = await warehouse.value(`SELECT count(*) FROM ${table} WHERE file_no = ${fileNo}`)
  if (Number(count) === landing.rowCount) return null
  await warehouse.run(`DELETE FROM ${table} WHERE file_no = ${fileNo}`)
  return changed(file)
}

async function isAsFound(file: FoundFile): Promise<boolean> {
  const now = await stat(file.path).catch(() => null)
  return now !== null && now.size === file.bytes && now.mtime.getTime() === file.modifiedAt.getTime()
}

function changed(file: FoundFile): SourceProblem {
  const what = 'the file changed or went away while it was read; nothing of it was taken'
  return { path: file.path, line: null, what, fix: 'send it again when it is complete' }
}

async function insertRows(
  warehouse: Warehouse,
  fileNo: number,
  layoutNo: number,
  file: FoundFile,
  recognized: Recognized,
  landing: Landing,
): Promise<void> {
  const cells = cellNames(landing)
  const bytes = landing.isScratch ? (await stat(landing.csvPath)).size : file.bytes
  const longest = recognized.container === 'csv' ? longestCsvLine : longestOtherLine
  const into = `INSERT INTO raw.layout_${layoutNo} SELECT ${fileNo},`
  const buffer = 4 * portionOf(landing.rowCount, longest, bytes)
  const source = (threads: Threads): string =>
    readCsv(landing, columnNames(landing), longest, buffer, threads)
  if (!landing.direct) {
    await readWhole(
      warehouse,
      (threads) => `${into} line::INTEGER, problem, surplus, ${cells.join(', ')} FROM ${source(threads)}`,
    )
    return
  }
  const rest = `NULL, NULL, ${cells.join(', ')}`
  const before = recognized.headerLine
  if (warehouse.isInTransaction) {
    await warehouse.run(`${into} (${before} + row_number() OVER ())::INTEGER, ${rest} FROM ${source('one')}`)
    return
  }
  // A window numbers rows with one thread; once they stand, their place in the table is their number.
  const own = `raw.layout_${layoutNo} WHERE file_no = ${fileNo}`
  await readWhole(warehouse, (threads) => `${into} 0, ${rest} FROM ${source(threads)}`)
  await warehouse.run(
    `UPDATE raw.layout_${layoutNo} SET line = (${before + 1} + rowid - (SELECT min(rowid) FROM ${own}))::INTEGER WHERE file_no = ${fileNo}`,
  )
}

/** By how many threads of the database a file is read. */
type Threads = 'one' | 'many'

/**
 * Where threads of the reader disagree about where lines begin, it gives up; then one of them reads the whole file. A
 * statement that fails ends the transaction it is in: there one reads it to begin with.
 */
async function readWhole(warehouse: Warehouse, insert: (threads: Threads) => string): Promise<void> {
  if (warehouse.isInTransaction) return warehouse.run(insert('one'))
  try {
    await warehouse.run(insert('many'))
  } catch (error) {
    if (!/\bCSV (Reader|Error)\b/i.test(String(error))) throw error
    await warehouse.run(insert('one'))
  }
}

/** No line of a CSV is longer, be it as it stands or written clean: twice the longest that is taken, its quotes doubled. */
const longestCsvLine = 4 * 1024 * 1024
const longestOtherLine = 16 * 1024 * 1024
const longestPortion = 32 * 1024 * 1024
/** Rows that the database keeps and compresses together. */
const groupRows = 122_880

function readCsv(
  landing: Landing,
  names: readonly string[],
  longest: number,
  buffer: number,
  threads: Threads = 'many',
): string {
  const { csvPath, csv } = landing
  const columns = names.map((name) => `'${name}': 'VARCHAR'`).join(', ')
  return `read_csv(${quote(csvPath)}, auto_detect = false, header = false, skip = ${csv.skip}, delim = ${quote(csv.delimiter)},
    quote = ${quote(csv.quote)}, escape = ${quote(csv.escape)}, columns = {${columns}}, max_line_size = ${longest},
    buffer_size = ${buffer}, null_padding = false, encoding = 'utf-8', parallel = ${threads === 'many'})`
}

/**
 * Bytes that one thread reads at a time, a quarter of the reader's buffer: a little less than a group of rows, as near
 * as can be told. Rows of much smaller portions are put together again one by one, and of much larger ones the last
 * keeps one thread waiting for the other.
 */
function portionOf(rows: number, longest: number, bytes: number): number {
  const group = (bytes / Math.max(1, rows)) * groupRows * 0.96
  return Math.max(longest, Math.min(longestPortion, evenly * Math.floor(group / evenly)))
}

/**
 * The reader looks at eight bytes at a time. Where a portion does not end with the eighth, two threads may disagree about
 * where a line begins, and it gives up on the whole file.
 */
const evenly = 4096
