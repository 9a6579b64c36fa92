import { measureOf, shownAs } from '../columns.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import type { Row } from '../rows.ts'
import { cellOf, headerUnit } from './cells.ts'

export interface TableSpec {
  readonly caption: string
  readonly columns: readonly string[]
  /** File name without ending. */
  readonly name: string
  /** The question that the rows answer: it tells what each column means. */
  readonly query?: string
  /** Own way to show a column; else by the column's name. */
  readonly cells?: Readonly<Record<string, (row: Row) => Child>>
}

/** Sentences need room. */
const prose = new Set(['reason', 'message', 'detail', 'asked_for_by'])

/** Figures stand in columns; times, days and names never break. */
export function classOf(name: string): string {
  if (prose.has(name)) return 'prose'
  // A code with its title may take two lines.
  if (name === 'task') return 'title'
  const shown = shownAs(name)
  if (measureOf(shown)) return 'number'
  return shown.as && shown.as !== 'code' ? 'whole' : ''
}

/** Header cells with unit or zone; with `sort`, each is a button. */
export function headCells(
  spec: TableSpec,
  context: Context,
  sort?: (name: string) => void,
  isSorted: (name: string) => boolean = () => true,
): HTMLTableCellElement[] {
  const info = context.api.queries.get(spec.query ?? '')
  const about = new Map(info?.columns.map((column) => [column.name, column.about]))
  return spec.columns.map((name) => {
    const shown = shownAs(name)
    const unit = headerUnit(shown, context)
    const label: Child[] = [shown.label, unit ? h('span', { class: 'unit' }, unit) : null]
    const title = about.get(name)
    const classes = classOf(name) === 'number' ? 'number' : ''
    return sort && isSorted(name)
      ? h(
          'th',
          { scope: 'col', class: classes },
          h('button', { type: 'button', title, onclick: () => sort(name) }, label),
        )
      : h('th', { scope: 'col', class: classes, title }, label)
  })
}

/** A row; its first cell is its header. */
export function bodyRow(row: Row, spec: TableSpec, context: Context): HTMLTableRowElement {
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

export function tableBlock(
  caption: string,
  heads: readonly Child[],
  body: HTMLElement,
  more: HTMLElement,
): HTMLElement {
  return h(
    'div',
    { class: 'table-block' },
    h(
      'div',
      { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': caption },
      h('table', {}, h('caption', {}, caption), h('thead', {}, h('tr', {}, heads)), body),
    ),
    more,
  )
}
