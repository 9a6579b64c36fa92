import { append, type Child, h } from '../h.ts'
import { failed } from './states.ts'

export interface Choice {
  readonly name: string
  readonly label: string
  /** What can be chosen, with its words; without them a number is asked for. */
  readonly options?: readonly (readonly [value: string, words: string])[]
  readonly value: string
  readonly unit?: string
  readonly most?: number
}

/** What the reader chose last, by label and name: it outlives a new answer, as when the warehouse changes. */
const remembered = new Map<string, string>()
const keyOf = (choice: Choice): string => `${choice.name} ${choice.label}`

/**
 * An answer with choices of its own over it, which belong to it and not to the page: it is drawn anew when one of them
 * changes. What stands stays until the new answer is there.
 */
export function choices(
  list: readonly Choice[],
  draw: (values: Readonly<Record<string, string>>) => Child | Promise<Child>,
): HTMLElement {
  const host = h('div', { class: 'answer' })
  let turn = 0
  const controls = list.map((choice) => ({ choice, control: controlOf(choice, () => void show()) }))

  async function show(): Promise<void> {
    const own = ++turn
    const values = Object.fromEntries(controls.map(({ choice, control }) => [choice.name, control.value]))
    const part = document.createElement('div')
    host.setAttribute('aria-busy', 'true')
    try {
      append(part, [await draw(values)])
    } catch (error) {
      append(part, [failed(error, () => void show())])
    }
    if (own !== turn) return
    host.replaceChildren(...part.childNodes)
    host.removeAttribute('aria-busy')
  }
  void show()
  return h(
    'div',
    {},
    h(
      'div',
      { class: 'faces chosen' },
      controls.map(({ choice, control }) =>
        h('label', {}, `${choice.label} `, control, choice.unit ? ` ${choice.unit}` : null),
      ),
    ),
    host,
  )
}

function controlOf(choice: Choice, show: () => void): HTMLSelectElement | HTMLInputElement {
  const { name, options } = choice
  const last = remembered.get(keyOf(choice))
  const isOffered = last !== undefined && (!options || options.some(([one]) => one === last))
  const value = isOffered ? last : choice.value
  const changed = (event: Event): void => {
    remembered.set(keyOf(choice), (event.currentTarget as HTMLSelectElement | HTMLInputElement).value)
    show()
  }
  if (options) {
    const select = h(
      'select',
      { name: `choice-${name}`, onchange: changed },
      options.map(([one, words]) => h('option', { value: one }, words)),
    )
    select.value = value
    return select
  }
  return h('input', {
    name: `choice-${name}`,
    type: 'number',
    min: 0,
    max: choice.most ?? 999,
    step: 1,
    value,
    oninput: changed,
  })
}
