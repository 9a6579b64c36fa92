import type { Context } from '../context.ts'
import { h } from '../h.ts'
import type { PageEntry } from '../pages.ts'

/** What is planned stays with the pages that plan; the day does travel along. */
const unplanned = { ahead: null, per_day: null, window: null, done: null, swap: null }

/** The thumb index at the edge of the book. Filters travel along; an open record does not. */
export function thumbIndex(pages: readonly PageEntry[]): {
  element: HTMLElement
  show(context: Context): void
} {
  const marks = pages.filter((page) => page.under === undefined)
  const links = marks.map((page) =>
    h(
      'a',
      { href: `?#/${page.name}` },
      h('span', { class: 'numeral', 'aria-hidden': 'true' }, page.numeral),
      page.title,
    ),
  )
  const element = h(
    'ul',
    {},
    links.map((link) => h('li', {}, link)),
  )
  return {
    element,
    show(context) {
      const open = pages.find((page) => page.name === context.address.page)
      marks.forEach((page, at) => {
        const link = links[at]!
        link.setAttribute('href', context.link({ page: page.name, evidence: null, plan: unplanned }))
        if (page.name === (open?.under ?? open?.name)) link.setAttribute('aria-current', 'page')
        else link.removeAttribute('aria-current')
      })
      const current = links.find((link) => link.hasAttribute('aria-current'))
      if (current && element.scrollWidth > element.clientWidth) element.scrollLeft = current.offsetLeft - 16
    },
  }
}
