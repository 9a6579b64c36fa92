import { type FilterName, filterNames } from '../address.ts'
import type { QueryInfo } from '../api.ts'
import { columns as known } from '../columns.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import type { Page, Section } from '../page.ts'
import { longTable } from '../parts/long-table.ts'
import { empty } from '../parts/states.ts'
import { type Row, textOf } from '../rows.ts'
import { figure } from '../units.ts'

const isFilter = (name: string): boolean => filterNames.includes(name as FilterName)

/** The page of a question that people brought themselves, made from its header comment. */
export function ownPage(info: QueryInfo): Page {
  const sections: Section[] = [
    { question: sentence(info.grain), needs: [info.name], answer: (context) => answer(info, context) },
    { question: 'What does each column mean?', needs: [info.name], answer: () => meaning(info) },
  ]
  return { name: `query/${info.name}`, title: info.title, sections }
}

const sentence = (grain: string): string => `${grain.charAt(0).toUpperCase()}${grain.slice(1)}`

/** What was asked for last, by question: it outlives a new answer, as when the warehouse changes. */
const asked = new Map<string, Record<string, string>>()

/** The filters of the page narrow it where it takes them; what else it takes is asked for over it. */
async function answer(info: QueryInfo, context: Context): Promise<Child> {
  const more = info.params.filter((name) => !isFilter(name) && name !== 'as_of')
  const host = h('div')
  const given = asked.get(info.name) ?? {}
  asked.set(info.name, given)
  const draw = async (): Promise<void> => {
    const columns = info.columns.length
      ? info.columns.map((column) => column.name)
      : await columnsSeen(info, given, context)
    const spec = {
      caption: info.title,
      name: info.name,
      query: info.name,
      columns,
      cells: Object.fromEntries(
        columns.filter((name) => !(name in known)).map((name) => [name, plain(name)]),
      ),
      none: 'No row in this selection.',
    }
    host.replaceChildren(await longTable({ ...spec, more: { ...given } }, context))
  }
  if (!more.length) {
    await draw()
    return host
  }
  const form = h(
    'form',
    { class: 'faces chosen' },
    more.map((name) =>
      h('label', {}, `${name.replaceAll('_', ' ')} `, h('input', { name, value: given[name] ?? '' })),
    ),
    h('button', { type: 'submit', class: 'plain' }, 'Ask'),
  )
  const message = h('p', { class: 'left-out', role: 'status' })
  form.addEventListener('submit', (event) => {
    event.preventDefault()
    for (const name of more) {
      const value = (form.elements.namedItem(name) as HTMLInputElement).value.trim()
      if (value) given[name] = value
      else delete given[name]
    }
    message.textContent = ''
    draw().catch((error: unknown) => {
      message.textContent = error instanceof Error ? error.message : String(error)
    })
  })
  await draw()
  return [form, message, host]
}

/** A number that no page knows is shown to the hundredth. */
const plain =
  (name: string) =>
  (row: Row): string => {
    const value = row[name]
    if (value === null || value === undefined) return '—'
    return typeof value === 'number'
      ? figure(value, Number.isInteger(value) ? 'count' : 'plain', 'us')
      : textOf(value)
  }

/** Names from the first row, where the header comment names no columns. */
async function columnsSeen(
  info: QueryInfo,
  given: Readonly<Record<string, string>>,
  context: Context,
): Promise<string[]> {
  const { rows } = await context.api.rowsFrom(info.name, context.filters, 1, 0, given)
  return Object.keys(rows[0] ?? {})
}

function meaning(info: QueryInfo): Child {
  const notes = typeof info.notes === 'string' ? [info.notes] : (info.notes ?? [])
  if (!info.columns.length) return empty('The comment at the head of its file names no columns.')
  return [
    h(
      'div',
      { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': 'Columns' },
      h(
        'table',
        {},
        h('caption', {}, `Columns of ${info.name}`),
        h(
          'thead',
          {},
          h('tr', {}, h('th', { scope: 'col' }, 'column'), h('th', { scope: 'col' }, 'meaning')),
        ),
        h(
          'tbody',
          {},
          info.columns.map((column) =>
            h('tr', {}, h('th', { scope: 'row' }, h('code', {}, column.name)), h('td', {}, column.about)),
          ),
        ),
      ),
    ),
    notes.map((note) => h('p', {}, note)),
  ]
}
