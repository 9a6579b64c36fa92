import type { Context } from '../context.ts'
import { h } from '../h.ts'

/** What the reports of a page are narrowed by and speak in: its filters, its units and its clock. */
export function reportParams(context: Context): Record<string, string | null | undefined> {
  const { season, from, to, aircraft, tank, base, fire, fluid } = context.filters
  const { units, zone } = context.address
  return { season, from, to, aircraft, tank, base, fire, fluid, units, zone }
}

/** The printable report of a page: as a page, on paper and as a workbook, of the same day and tank. */
export function reportLinks(
  kind: string,
  params: Readonly<Record<string, string | null | undefined>>,
): HTMLElement {
  const href = (format: string): string => {
    const query = new URLSearchParams({ format })
    for (const [name, value] of Object.entries(params)) if (value) query.set(name, value)
    return `api/reports/${kind}?${query}`
  }
  return h(
    'p',
    { class: 'papers' },
    h('a', { href: href('html'), target: '_blank', rel: 'noopener' }, 'Printable page'),
    h('a', { href: href('pdf'), target: '_blank', rel: 'noopener' }, 'PDF'),
    h('a', { href: href('xlsx'), download: '' }, 'XLSX'),
    h('button', { type: 'button', class: 'plain', onclick: () => print() }, 'Print this page'),
  )
}
