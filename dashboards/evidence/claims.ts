import { measureOf, shownAs } from '../columns.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { cellOf, headerUnit } from '../parts/cells.ts'
import type { Cell } from '../rows.ts'
import type { Claim, Evidence } from './types.ts'

/** A field as people say it: without the unit, which stands behind the value. */
const fieldLabel = (name: string): string =>
  (measureOf(shownAs(name)) ? name.replace(/_(gal|ft|kt|nm|s|min|pct)$/, '') : name).replaceAll('_', ' ')

/** A field's value with its unit, whatever it is. */
export function fieldValue(name: string, value: Cell, context: Context): Child {
  const unit = headerUnit(shownAs(name), context)
  const text = cellOf(name, value, context)
  return value === null || value === '' || !unit ? text : [text, h('span', { class: 'unit' }, ` ${unit}`)]
}

export function recordList(record: Readonly<Record<string, Cell>>, context: Context): HTMLElement {
  const known = Object.entries(record).filter(
    ([, value]) => value !== null && value !== '' && value !== false,
  )
  const denied = Object.entries(record).filter(([, value]) => value === false)
  const unknown = Object.entries(record).filter(([, value]) => value === null || value === '')
  return h(
    'div',
    {},
    h(
      'dl',
      { class: 'record' },
      known.map(([name, value]) =>
        h('div', {}, h('dt', {}, fieldLabel(name)), h('dd', {}, fieldValue(name, value, context))),
      ),
    ),
    denied.length
      ? h(
          'p',
          { class: 'units' },
          `Not so: ${denied.map(([name]) => fieldLabel(name).replace(/^is /, '')).join(', ')}.`,
        )
      : null,
    unknown.length
      ? h('p', { class: 'units' }, `Not known: ${unknown.map(([name]) => fieldLabel(name)).join(', ')}.`)
      : null,
  )
}

/** Field by field: the value taken, whose it is, and the values it beat. */
export function claimsTable({ claims, observations }: Evidence, context: Context): HTMLElement {
  // What an amendment sets on a line of another witness is told under that line's name.
  const isSet = ({ witness, obs }: Claim): boolean =>
    witness === 'manual' && observations.some((one) => one.obs === obs && one.witness !== 'manual')
  const claim = (name: string, item: Claim): Child => [
    fieldValue(name, item.value, context),
    h('small', {}, ` ${isSet(item) ? 'by amendment' : item.witness}`),
  ]
  return h(
    'div',
    { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': 'Claims' },
    h(
      'table',
      {},
      h('caption', { class: 'unseen' }, 'Claims by field'),
      h(
        'thead',
        {},
        h(
          'tr',
          {},
          h('th', { scope: 'col' }, 'field'),
          h('th', { scope: 'col' }, 'taken'),
          h('th', { scope: 'col' }, 'over'),
        ),
      ),
      h(
        'tbody',
        {},
        claims.map((row) =>
          h(
            'tr',
            { title: row.rule ?? undefined },
            h('th', { scope: 'row' }, fieldLabel(row.field)),
            h('td', {}, row.taken ? claim(row.field, row.taken) : '—'),
            h(
              'td',
              { class: 'beaten' },
              row.beaten.length
                ? row.beaten.map((item, at) => [at ? '; ' : null, claim(row.field, item)])
                : '—',
            ),
          ),
        ),
      ),
    ),
  )
}
