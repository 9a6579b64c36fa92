import {
  Data,
  Field,
  RecordBatch,
  RecordBatchFileWriter,
  RecordBatchStreamWriter,
  Schema,
  Struct,
} from 'apache-arrow'
import { arrowColumn } from './arrow-column.ts'
import type { Rows } from './rows.ts'

/** The whole result as one record batch with the question's title, grain and columns in the schema's metadata. */
async function toBatch(result: Rows): Promise<RecordBatch> {
  const columns = result.columns.map(arrowColumn)
  let length = 0
  for await (const chunk of result.chunks()) {
    columns.forEach((column, index) => {
      column.append(chunk, index)
    })
    length += chunk.rowCount
  }
  const children = columns.map((column) => column.finish())
  const fields = result.columns.map(
    (column, index) =>
      new Field(
        column.name,
        children[index]!.type,
        true,
        column.about ? new Map([['about', column.about]]) : undefined,
      ),
  )
  const metadata = new Map([
    ['question', result.question.name],
    ['title', result.question.title],
    ['grain', result.question.grain],
  ])
  const schema = new Schema(fields, metadata)
  return new RecordBatch(schema, new Data(new Struct(fields), 0, length, 0, undefined, children))
}

/** Arrow IPC stream format: `application/vnd.apache.arrow.stream`. */
export async function toArrowStream(result: Rows): Promise<Uint8Array> {
  const batch = await toBatch(result)
  return RecordBatchStreamWriter.writeAll([batch]).toUint8Array()
}

/** Arrow IPC file format (an `.arrow` file). */
export async function toArrowFile(result: Rows): Promise<Uint8Array> {
  const batch = await toBatch(result)
  return RecordBatchFileWriter.writeAll([batch]).toUint8Array()
}
