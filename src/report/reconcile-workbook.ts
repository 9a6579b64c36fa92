import { Decimal } from 'decimal.js'
import writeXlsxFile, { type Cell, type Row, type Sheet } from 'write-excel-file/node'
import { type ResultRow, sheetName } from '../catalogue/index.ts'

const money = '#,##0.00'
const price = '#,##0.00####'
const quantity = '#,##0.0##'

interface SheetColumn {
  title: string
  width: number
  /** The cell of a row that stands on line `at` of the sheet. */
  cell: (row: ResultRow, at: number) => Cell
  isSummed?: boolean
}

const text = (value: unknown): Cell =>
  value === null || value === undefined ? null : { value: String(value), type: String }
const number = (value: unknown, format: string): Cell =>
  value === null || value === undefined ? null : { value: Number(value), type: Number, format }
const day = (value: unknown): Cell =>
  typeof value === 'string'
    ? { value: new Date(`${value}T00:00:00Z`), type: Date, format: 'yyyy-mm-dd' }
    : null
const formula = (value: string): Cell => ({ value, type: 'Formula', format: money })

/** Columns of a contract's lines; the letters in the formulas are their places. */
const lineColumns: readonly SheetColumn[] = [
  { title: 'Invoice', width: 14, cell: (row) => text(row.invoice) }, // A
  { title: 'Line', width: 7, cell: (row) => text(row.line) }, // B
  { title: 'Item', width: 17, cell: (row) => text(row.item) }, // C
  { title: 'Aircraft', width: 10, cell: (row) => text(row.aircraft) }, // D
  { title: 'From', width: 11, cell: (row) => day(row.from_on) }, // E
  { title: 'To', width: 11, cell: (row) => day(row.to_on) }, // F
  { title: 'Ticket', width: 12, cell: (row) => text(row.ticket) }, // G
  { title: 'Finding', width: 16, cell: (row) => text(row.finding) }, // H
  { title: 'Quantity billed', width: 12, cell: (row) => number(row.billed_quantity, quantity) }, // I
  { title: 'Price billed', width: 12, cell: (row) => number(row.billed_price, price) }, // J
  {
    title: 'Quantity × price',
    width: 14,
    cell: (_, at) => formula(`ROUND(I${at}*J${at},2)`),
    isSummed: true,
  }, // K
  { title: 'Amount billed', width: 14, cell: (row) => number(row.billed_amount, money), isSummed: true }, // L
  { title: 'Quantity supported', width: 12, cell: (row) => number(row.supported_quantity, quantity) }, // M
  { title: 'Contract price', width: 12, cell: (row) => number(row.contract_price, price) }, // N
  {
    title: 'Amount supported',
    width: 14,
    cell: (row, at) => supported(row, 'supported_quantity', `ROUND(M${at}*N${at},2)`),
    isSummed: true,
  }, // O
  { title: 'Difference', width: 14, cell: (_, at) => formula(`L${at}-O${at}`), isSummed: true }, // P
  { title: 'In dispute', width: 14, cell: (_, at) => formula(`MAX(P${at},0)`), isSummed: true }, // Q
  { title: 'Under-billed', width: 14, cell: (_, at) => formula(`MAX(-P${at},0)`), isSummed: true }, // R
  { title: 'Why', width: 60, cell: (row) => text(row.message) },
  {
    title: 'Note',
    width: 24,
    cell: (row) => text(row.note_state && `${row.note_state}: ${row.note_reason} (${row.note_by})`),
  },
  {
    title: 'Evidence',
    width: 60,
    cell: (row) => text((row.evidence as string[] | null)?.join('; ').slice(0, 32_000)),
  },
]

const unbilledColumns: readonly SheetColumn[] = [
  { title: 'Item', width: 17, cell: (row) => text(row.item) },
  { title: 'Aircraft', width: 10, cell: (row) => text(row.aircraft) },
  { title: 'Day', width: 11, cell: (row) => day(row.from_on) },
  { title: 'Quantity', width: 12, cell: (row) => number(row.supported_quantity, quantity) },
  { title: 'Amount', width: 14, cell: (row) => number(row.supported_amount, money), isSummed: true },
  {
    title: 'Evidence',
    width: 60,
    cell: (row) => text((row.evidence as string[] | null)?.join('; ').slice(0, 32_000)),
  },
]

/** A formula where quantity × price is the amount to the cent; else (a line across prices, a credit) the amount itself. */
function supported(row: ResultRow, of: string, byFormula: string): Cell {
  const [units, unit, amount] = [row[of], row.contract_price, row.supported_amount]
  if (units === null || unit === null || units === undefined || unit === undefined)
    return number(amount, money)
  const product = new Decimal(String(units)).times(String(unit)).toDecimalPlaces(2, Decimal.ROUND_HALF_UP)
  return product.equals(String(amount)) ? formula(byFormula) : number(amount, money)
}

/**
 * The rows of `invoice-findings` as a workbook for the other party: a sheet for each contract, whose amounts recompute
 * in the sheet, and one for its unbilled work. Each sheet is in one currency; nothing is added across sheets.
 */
export async function reconcileWorkbook(rows: readonly ResultRow[]): Promise<Uint8Array> {
  const primary = rows.filter((row) => row.is_primary)
  const contracts = [...new Set(primary.map((row) => String(row.contract)))].sort()
  const sheets = contracts.flatMap((contract) => {
    const own = primary.filter((row) => row.contract === contract)
    const title = (what: string) =>
      `Contract ${contract}, ${what}, amounts in ${own[0]?.currency ?? 'its currency'}`
    const lines = own.filter((row) => row.invoice !== null)
    const open = own.filter((row) => row.invoice === null)
    return [
      ...(lines.length > 0 ? [sheetOf(contract, title('invoice lines'), lineColumns, lines)] : []),
      ...(open.length > 0
        ? [sheetOf(`${contract.slice(0, 20)} unbilled`, title('work on no invoice'), unbilledColumns, open)]
        : []),
    ]
  })
  const empty: Sheet<Buffer> = {
    sheet: 'Invoices',
    data: [[{ value: 'No invoice is on record.', type: String }]],
  }
  return writeXlsxFile(sheets.length > 0 ? sheets : [empty]).toBuffer()
}

const letter = (index: number): string => String.fromCharCode(65 + index)

/** Line 1 the title, line 2 the totals, line 3 the headers, then the rows. */
function sheetOf(
  name: string,
  title: string,
  columns: readonly SheetColumn[],
  rows: readonly ResultRow[],
): Sheet<Buffer> {
  const first = 4
  const last = first + rows.length - 1
  const totals: Row = columns.map((column, index) =>
    column.isSummed
      ? {
          ...(formula(`SUM(${letter(index)}${first}:${letter(index)}${last})`) as object),
          fontWeight: 'bold',
        }
      : index === 0
        ? { value: 'Total', type: String, fontWeight: 'bold' }
        : null,
  ) as Row
  return {
    sheet: sheetName(name),
    columns: columns.map((column) => ({ width: column.width })),
    stickyRowsCount: 3,
    data: [
      [{ value: title, type: String, fontWeight: 'bold' }],
      totals,
      columns.map((column) => ({ value: column.title, type: String, fontWeight: 'bold', wrap: true })),
      ...rows.map((row, index) => columns.map((column) => column.cell(row, first + index))),
    ],
  }
}
