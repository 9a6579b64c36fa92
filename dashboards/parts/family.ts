import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { standingBar } from './standing.ts'

const pages = [
  ['tanks', 'Due list'],
  ['tank', 'A tank’s life'],
  ['what-if', 'What if'],
  ['work-list', 'Work list'],
  ['conversion', 'Conversion sheet'],
] as const

export const planningAid =
  'A planning aid. The approved inspection programme, the maintenance manual and licensed staff decide.'

/** What stands above every page about tanks: the others, the day that it is of, and the caution. */
export function tankFamily(context: Context): Child {
  return [
    h(
      'nav',
      { class: 'family', 'aria-label': 'Tanks and inspections' },
      h(
        'ul',
        {},
        pages.map(([page, label]) =>
          h(
            'li',
            {},
            h(
              'a',
              {
                id: `family-${page}`,
                href: context.link({ page, evidence: null }),
                ...(page === context.address.page ? { 'aria-current': 'page' } : {}),
              },
              label,
            ),
          ),
        ),
      ),
    ),
    standingBar(context),
    h('p', { class: 'caution' }, planningAid),
  ]
}
