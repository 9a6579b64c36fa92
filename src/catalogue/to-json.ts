import type { Page, Rows } from './rows.ts'

/** A JSON array with one object per line. Numbers that JSON lacks (infinite, not a number) leave as null. */
export async function* toJson(result: Rows, page: Page): AsyncGenerator<string> {
  const keys = result.columns.map((column) => `${JSON.stringify(column.name)}:`)
  let separator = '[\n'
  for await (const block of result.blocks(page)) {
    let text = ''
    for (const cells of block) {
      text += `${separator}{${keys.map((key, index) => key + JSON.stringify(cells[index])).join(',')}}`
      separator = ',\n'
    }
    yield text
  }
  yield separator === '[\n' ? '[]\n' : '\n]\n'
}
