import { measureOf, type Shown, shownAs } from '../columns.ts'
import type { Context } from '../context.ts'
import { type Child, h, unseen } from '../h.ts'
import { type Cell, numberOf, textOf } from '../rows.ts'
import { timeText } from '../times.ts'
import { figure, money, unitOf } from '../units.ts'

const residues = new Set(['unattributed', 'unknown', 'no drop', 'none'])

/** The unit of a column as its header names it; empty when it has none. */
export function headerUnit(shown: Shown, context: Context): string {
  if (shown.as === 'time') return context.address.zone
  const measure = measureOf(shown)
  return measure ? unitOf(measure, context.address.units) : ''
}

/** A value as a table shows it. Unknown is an em dash that says so. */
export function cellOf(name: string, value: Cell | undefined, context: Context, kindOf?: string): Child {
  const shown = shownAs(name)
  if (value === null || value === undefined || value === '')
    return h('span', { class: 'unknown' }, '—', unseen(' not known'))
  if (shown.as === 'money') return money(textOf(value))
  const measure = measureOf(shown)
  if (measure) {
    const number = numberOf(value)
    return number === null ? textOf(value) : figure(number, measure, context.address.units, shown.digits)
  }
  if (shown.as === 'time') return timeText(textOf(value), context.address.zone)
  if (shown.as === 'day') return textOf(value).slice(0, 10)
  const text = textOf(value)
  const kind = kindOf ?? (shown.as === 'record' ? shown.kind : undefined)
  if (kind && !residues.has(text)) return evidenceLink(context, kind, text, text)
  if (residues.has(text)) return h('em', {}, text)
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  return shown.as === 'code' ? h('code', {}, text) : text
}

export function evidenceLink(context: Context, kind: string, id: string, label: string): HTMLElement {
  return h(
    'a',
    { class: 'open', href: context.evidence(kind, id), title: `Evidence of ${kind} ${id}` },
    label,
  )
}
