import { h } from '../h.ts'

/**
 * A long list behind a choice or two: the reader takes one value of a column, or all. The choice belongs to the
 * list alone, not to the page.
 */
export function chosen<R extends object>(
  rows: readonly R[],
  by: readonly (readonly [keyof R & string, string])[],
  draw: (rows: readonly R[]) => HTMLElement,
  name?: string,
): HTMLElement {
  const host = h('div')
  const selects = by.map(([column, label]) => {
    const values = [...new Set(rows.map((row) => String(row[column])))].sort()
    const select = h(
      'select',
      name
        ? { id: `${name}-${column}`, 'data-kept': true, onchange: () => show() }
        : { onchange: () => show() },
      h('option', { value: '' }, 'all'),
      values.map((value) => h('option', { value }, value)),
    )
    return { column, select, element: h('label', {}, `${label} `, select) }
  })
  function show(): void {
    const kept = rows.filter((row) =>
      selects.every(({ column, select }) => !select.value || String(row[column]) === select.value),
    )
    host.replaceChildren(draw(kept))
  }
  show()
  return h(
    'div',
    {},
    h(
      'div',
      { class: 'faces chosen' },
      selects.map(({ element }) => element),
    ),
    host,
  )
}
