import { type Child, h } from '../h.ts'

export interface Entry {
  readonly label: string
  readonly value: string
  readonly unit?: string
  readonly note?: string
  readonly href?: string
}

/** Key figures as an almanac's summary: a name, a dotted leader, the figure. Each with a link opens what stands behind it. */
export function ledger(entries: readonly Entry[]): HTMLElement {
  return h(
    'dl',
    { class: 'ledger' },
    entries.map((entry) =>
      h(
        'div',
        {},
        h('dt', {}, h('span', {}, entry.label)),
        h('dd', {}, figureOf(entry), entry.note ? h('small', {}, entry.note) : null),
      ),
    ),
  )
}

function figureOf(entry: Entry): Child {
  const text: Child = [
    h('b', {}, entry.value),
    entry.unit ? h('span', { class: 'unit' }, ` ${entry.unit}`) : null,
  ]
  return entry.href ? h('a', { href: entry.href, class: 'open' }, text) : text
}
