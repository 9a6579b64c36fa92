import { h } from '../h.ts'

const marks: Readonly<Record<string, string>> = {
  overdue: '■',
  'in-tolerance': '◧',
  due: '◆',
  plan: '◇',
  ok: '·',
  'no-baseline': '?',
  error: '▲',
  warning: '◆',
  note: '○',
  open: '○',
  accepted: '◐',
  resolved: '●',
}

/** A status as a shape and a word: never as a colour alone. */
export function statusMark(status: string): HTMLElement {
  return h(
    'span',
    { class: `status is-${status}` },
    h('span', { class: 'mark', 'aria-hidden': 'true' }, marks[status] ?? '·'),
    ` ${status}`,
  )
}
