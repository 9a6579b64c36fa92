import type { Context } from '../context.ts'
import { h } from '../h.ts'
import type { Row } from '../rows.ts'
import { empty, failed } from './states.ts'
import { bodyRow, headCells, type TableSpec, tableBlock } from './table-rows.ts'

interface LongTableSpec extends TableSpec {
  readonly query: string
  /** What stands in its place when there is no row. */
  readonly none: string
  /** Params beyond the filters. */
  readonly more?: Readonly<Record<string, string>>
}

const first = 25
const step = 100

/**
 * A list too long to bring whole: its rows come a page at a time, in the order of the question, and the file with
 * all of them comes from the warehouse.
 */
export async function longTable(spec: LongTableSpec, context: Context): Promise<HTMLElement> {
  const { api, filters } = context
  context.asked.add(spec.query)
  const reading = context.reading(spec.caption, first)
  const start = await api.rowsFrom(spec.query, filters, reading.shown, 0, spec.more)
  if (!start.rows.length) return empty(spec.none)
  const body = h('tbody')
  const more = h('div', { class: 'more' })
  const href = api.address(spec.query, filters, { ...spec.more, format: 'csv' })
  const file = h('a', { class: 'plain', href, download: `${spec.name}.csv` }, 'CSV of all')

  function add(part: { rows: Row[]; isMore: boolean }): void {
    const from = body.rows.length
    body.append(...part.rows.map((row) => bodyRow(row, spec, context)))
    reading.shown = Math.max(first, body.rows.length)
    const button = h('button', { type: 'button', class: 'plain', onclick: () => void next() }, 'Show more')
    more.replaceChildren(...(part.isMore ? [button] : []), file)
    if (from) body.rows[from]?.querySelector<HTMLElement>('a, button')?.focus()
  }

  async function next(): Promise<void> {
    try {
      add(await api.rowsFrom(spec.query, filters, step, body.rows.length, spec.more))
    } catch (error) {
      more.replaceChildren(failed(error, () => void next()))
    }
  }

  add(start)
  return tableBlock(spec.caption, headCells(spec, context), body, more)
}
