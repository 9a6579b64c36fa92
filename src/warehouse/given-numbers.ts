import {
  type DuckDBConnection,
  type DuckDBDataChunk,
  DuckDBTableFunction,
  type DuckDBTableFunctionBindInfo,
  type DuckDBTableFunctionInfo,
  type DuckDBTableFunctionInitInfo,
  VARCHAR,
} from '@duckdb/node-api'
import { copyNumbers, type Numbers, typeOf } from './numbers-in.ts'

/** Tables of numbers by name: columns of equal length. */
export type NumberTables = Readonly<Record<string, Readonly<Record<string, Numbers>>>>

interface Scan {
  readonly columns: readonly Numbers[]
  row: number
}

const chunkRows = 2048

/** The table function `given_numbers(name)`: reads columns of numbers out of the arrays that they lie in, while they are held. */
export class GivenNumbers {
  readonly #tables = new Map<string, NumberTables[string]>()

  constructor(connection: DuckDBConnection) {
    connection.registerTableFunction(
      DuckDBTableFunction.create({
        name: 'given_numbers',
        parameterTypes: [VARCHAR],
        supportsProjectionPushdown: true,
        bindFunction: (info) => this.#bind(info),
        initFunction: begin,
        mainFunction: next,
      }),
    )
  }

  hold(tables: NumberTables): void {
    for (const [name, columns] of Object.entries(tables)) this.#tables.set(name, columns)
  }

  drop(tables: NumberTables): void {
    for (const name of Object.keys(tables)) this.#tables.delete(name)
  }

  #bind(info: DuckDBTableFunctionBindInfo): void {
    const name = String(info.getParameter(0))
    const columns = this.#tables.get(name)
    if (!columns) {
      info.setError(`no numbers are given by the name ${name}`)
      return
    }
    for (const [column, numbers] of Object.entries(columns)) info.addResultColumn(column, typeOf(numbers))
    info.setCardinality(Object.values(columns)[0]?.length ?? 0, true)
    info.setBindData(columns)
  }
}

/** In the order of the rows: by one thread. */
function begin(info: DuckDBTableFunctionInitInfo): void {
  const all = Object.values(info.getBindData() as NumberTables[string])
  info.setMaxThreads(1)
  info.setInitData({ columns: info.getColumnIndexes().map((index) => all[index]!), row: 0 } satisfies Scan)
}

function next(info: DuckDBTableFunctionInfo, chunk: DuckDBDataChunk): void {
  const all = Object.values(info.getBindData() as NumberTables[string])
  const scan = info.getInitData() as Scan
  const to = Math.min(scan.row + chunkRows, all[0]?.length ?? 0)
  chunk.rowCount = to - scan.row
  for (const [index, numbers] of scan.columns.entries())
    copyNumbers(chunk, index, numbers.subarray(scan.row, to))
  scan.row = to
}
