import type { Context } from '../context.ts'
import { h } from '../h.ts'
import type { PageEntry } from '../pages.ts'

/** The thumb index at the edge of the book. Filters travel along; an open record does not. */
export function thumbIndex(pages: readonly PageEntry[]): {
  element: HTMLElement
  show(context: Context): void
} {
  const links = pages.map((page) =>
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
      pages.forEach((page, at) => {
        const link = links[at]!
        link.setAttribute('href', context.link({ page: page.name, evidence: null }))
        if (page.name === context.address.page) link.setAttribute('aria-current', 'page')
        else link.removeAttribute('aria-current')
      })
      const current = links.find((link) => link.hasAttribute('aria-current'))
      if (current && element.scrollWidth > element.clientWidth) element.scrollLeft = current.offsetLeft - 16
    },
  }
}
