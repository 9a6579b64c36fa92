import { measureOf, shownAs } from '../columns.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { type Cell, numberOf, type Row, textOf } from '../rows.ts'
import { cellOf, headerUnit } from './cells.ts'
import { csvOf } from './csv.ts'
import { saveText } from './save.ts'

export interface TableSpec {
  readonly caption: string
  readonly columns: readonly string[]
  /** File name without ending. */
  readonly name: string
  /** Own way to show a column; else by the column's name. */
  readonly cells?: Readonly<Record<string, (row: Row) => Child>>
  /** First column of the row is its header unless said otherwise. */
  readonly sortable?: boolean
  /** Rows shown before the reader asks for more. */
  readonly limit?: number
  readonly query?: string
}

const defaultLimit = 40

/** A table as printed almanacs set them: rules above and below, air after every fifth row, figures in columns. */
export function table(rows: readonly object[], spec: TableSpec, context: Context): HTMLElement {
  const list = rows as readonly Row[]
  const about = new Map(
    context.api.queries.get(spec.query ?? '')?.columns?.map((column) => [column.name, column.about]),
  )
  const state = { by: '', down: false, limit: spec.limit ?? defaultLimit }
  const body = h('tbody')
  const more = h('div', { class: 'more' })
  const heads = spec.columns.map((name) => head(name))

  function head(name: string): HTMLTableCellElement {
    const shown = shownAs(name)
    const unit = headerUnit(shown, context)
    const label: Child[] = [shown.label, unit ? h('span', { class: 'unit' }, unit) : null]
    const classes = measureOf(shown) ? 'number' : ''
    if (spec.sortable === false)
      return h('th', { scope: 'col', class: classes, title: about.get(name) }, label)
    const button = h('button', { type: 'button', title: about.get(name), onclick: () => sortBy(name) }, label)
    return h('th', { scope: 'col', class: classes }, button)
  }

  function sortBy(name: string): void {
    state.down = state.by === name ? !state.down : measureOf(shownAs(name)) !== null
    state.by = name
    heads.forEach((cell, at) => {
      if (spec.columns[at] === name) cell.setAttribute('aria-sort', state.down ? 'descending' : 'ascending')
      else cell.removeAttribute('aria-sort')
    })
    fill()
  }

  function fill(): void {
    const sorted = state.by ? [...list].sort(by(state.by, state.down)) : list
    body.replaceChildren(...sorted.slice(0, state.limit).map(rowOf))
    const left = list.length - state.limit
    more.replaceChildren(
      ...(left > 0
        ? [
            h(
              'button',
              { type: 'button', class: 'plain', onclick: () => showMore() },
              `Show ${Math.min(left, 200)} more of ${list.length.toLocaleString('en-US')}`,
            ),
          ]
        : []),
      h(
        'button',
        {
          type: 'button',
          class: 'plain',
          onclick: () => saveText(`${spec.name}.csv`, 'text/csv', csvOf(spec.columns, list)),
        },
        'CSV',
      ),
    )
  }

  function showMore(): void {
    state.limit += 200
    fill()
  }

  function rowOf(row: Row): HTMLTableRowElement {
    return h(
      'tr',
      {},
      spec.columns.map((name, at) => {
        const content = spec.cells?.[name] ? spec.cells[name](row) : cellOf(name, row[name], context)
        const classes = classOf(name)
        return at === 0
          ? h('th', { scope: 'row', class: classes }, content)
          : h('td', { class: classes }, content)
      }),
    )
  }

  fill()
  return h(
    'div',
    { class: 'table-block' },
    h(
      'div',
      { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': spec.caption },
      h('table', {}, h('caption', {}, spec.caption), h('thead', {}, h('tr', {}, heads)), body),
    ),
    more,
  )
}

/** Figures stand in columns; times, days and codes never break. */
function classOf(name: string): string {
  const shown = shownAs(name)
  if (measureOf(shown)) return 'number'
  return shown.as === 'time' || shown.as === 'day' || shown.as === 'record' ? 'whole' : ''
}

function by(name: string, down: boolean): (a: Row, b: Row) => number {
  const sign = down ? -1 : 1
  return (a, b) => {
    const [x, y] = [a[name], b[name]]
    if (isUnknown(x) || isUnknown(y)) return Number(isUnknown(x)) - Number(isUnknown(y))
    const [m, n] = [numberOf(x), numberOf(y)]
    return sign * (m !== null && n !== null ? m - n : textOf(x).localeCompare(textOf(y)))
  }
}

const isUnknown = (cell: Cell | undefined): boolean => cell === null || cell === undefined
