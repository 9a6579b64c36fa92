import { measureOf, shownAs } from '../columns.ts'
import type { Context } from '../context.ts'
import { h } from '../h.ts'
import { type Cell, numberOf, type Row, textOf } from '../rows.ts'
import { csvOf } from './csv.ts'
import { saveText } from './save.ts'
import { bodyRow, headCells, type TableSpec, tableBlock } from './table-rows.ts'

interface SortedTableSpec extends TableSpec {
  readonly sortable?: boolean
  /** Rows shown before the reader asks for more. */
  readonly limit?: number
}

const defaultLimit = 40
const step = 200

/** A table as printed almanacs set them: rules above and below, air after every fifth row, figures in columns. */
export function table(rows: readonly object[], spec: SortedTableSpec, context: Context): HTMLElement {
  const list = rows as readonly Row[]
  const state = context.reading(spec.caption, spec.limit ?? defaultLimit)
  const body = h('tbody')
  const more = h('div', { class: 'more' })
  const heads = headCells(
    spec,
    context,
    spec.sortable === false ? undefined : sortBy,
    (name) => !!list[0] && name in list[0],
  )

  function sortBy(name: string): void {
    state.isDown = state.by === name ? !state.isDown : measureOf(shownAs(name)) !== null
    state.by = name
    mark()
    fill()
  }

  function mark(): void {
    heads.forEach((cell, at) => {
      if (spec.columns[at] === state.by)
        cell.setAttribute('aria-sort', state.isDown ? 'descending' : 'ascending')
      else cell.removeAttribute('aria-sort')
    })
  }

  function fill(): void {
    const sorted = state.by ? [...list].sort(by(state.by, state.isDown)) : list
    body.replaceChildren(...sorted.slice(0, state.shown).map((row) => bodyRow(row, spec, context)))
    const left = list.length - state.shown
    const next = `Show ${Math.min(left, step)} more of ${list.length.toLocaleString('en-US')}`
    const save = (): void => saveText(`${spec.name}.csv`, 'text/csv', csvOf(spec.columns, list))
    more.replaceChildren(
      ...(left > 0 ? [h('button', { type: 'button', class: 'plain', onclick: showMore }, next)] : []),
      h(
        'button',
        { type: 'button', class: 'plain', 'aria-label': `CSV: ${spec.caption}`, onclick: save },
        'CSV',
      ),
    )
  }

  function showMore(): void {
    const from = state.shown
    state.shown += step
    fill()
    body.rows[from]?.querySelector<HTMLElement>('a, button')?.focus()
  }

  mark()
  fill()
  return tableBlock(spec.caption, heads, body, more)
}

/** Unknown values come last, whichever way the column is sorted. */
function by(name: string, isDown: boolean): (a: Row, b: Row) => number {
  const sign = isDown ? -1 : 1
  return (a, b) => {
    const [x, y] = [a[name], b[name]]
    if (isUnknown(x) || isUnknown(y)) return Number(isUnknown(x)) - Number(isUnknown(y))
    const [m, n] = [numberOf(x), numberOf(y)]
    return sign * (m !== null && n !== null ? m - n : textOf(x).localeCompare(textOf(y)))
  }
}

const isUnknown = (cell: Cell | undefined): boolean => cell === null || cell === undefined
