import { type Child, h } from '../h.ts'

export interface Grouping<R> {
  readonly label: string
  /** The group of a row. */
  readonly of: (row: R) => string
}

export interface GroupedSpec<R> {
  /** Begins the identifiers, by which groups stay unfolded when the page is drawn again. */
  readonly name: string
  readonly groupings: readonly Grouping<R>[]
  /** Label of the grouping to begin with, if not the first. */
  readonly by?: string
  /** Which group comes first; by the rows in it. */
  readonly rank: (rows: readonly R[]) => string
  /** The line that stands for the group while it is folded. */
  readonly summary: (group: string, rows: readonly R[]) => Child
  readonly isUnfolded: (rows: readonly R[]) => boolean
  readonly draw: (group: string, rows: readonly R[]) => HTMLElement
}

/** Rows in groups that fold; the reader takes by what they are grouped. A folded group is drawn when it is first opened. */
export function grouped<R>(rows: readonly R[], spec: GroupedSpec<R>): HTMLElement {
  const host = h('div', { class: 'groups' })
  const select = h(
    'select',
    { id: `${spec.name}-by`, 'data-kept': true, onchange: () => show() },
    spec.groupings.map(({ label }, at) => h('option', { value: at, selected: label === spec.by }, label)),
  )
  function show(): void {
    const { of } = spec.groupings[Number(select.value)]!
    const groups = new Map<string, R[]>()
    for (const row of rows) groups.set(of(row), [...(groups.get(of(row)) ?? []), row])
    const sorted = [...groups].sort(([, a], [, b]) => spec.rank(a).localeCompare(spec.rank(b)))
    host.replaceChildren(...sorted.map(([group, own]) => groupOf(group, own)))
  }
  function groupOf(group: string, own: readonly R[]): HTMLElement {
    const body = h('div')
    const draw = (): void => {
      if (details.open && !body.firstChild) body.append(spec.draw(group, own))
    }
    const details = h(
      'details',
      {
        id: `${spec.name}-${group.replace(/[^\w-]/g, '_')}`,
        open: spec.isUnfolded(own),
        ontoggle: draw,
      },
      h('summary', {}, spec.summary(group, own)),
      body,
    )
    draw()
    return details
  }
  show()
  return h('div', {}, h('p', { class: 'faces chosen' }, h('label', {}, 'Grouped by ', select)), host)
}
