import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { dayText } from '../times.ts'

export interface Standing {
  readonly day: string
  readonly basis: 'chosen' | 'last day of the filter' | 'last day on record' | 'today'
}

const today = (): string => new Date().toISOString().slice(0, 10)

/**
 * The operating day that answers about tanks are of. A season that is over would open as all overdue if they were of today, so
 * the last day on record is taken (of the season that is chosen), until the reader takes another.
 */
export function standingOf({ api, address }: Context): Standing {
  const { plan, filters } = address
  if (plan.as_of) return { day: plan.as_of, basis: 'chosen' }
  if (filters.to) return { day: filters.to, basis: 'last day of the filter' }
  const days = api.status.last_days ?? {}
  const last = days[filters.season ?? ''] ?? Object.values(days).sort().at(-1)
  return last ? { day: last, basis: 'last day on record' } : { day: today(), basis: 'today' }
}

/** The params that put a question on that day. */
export const onThatDay = (context: Context): { as_of: string } => ({ as_of: standingOf(context).day })

/** Says which day it is of, and lets the reader take another; the day stays in the address. */
export function standingBar(context: Context): Child {
  const { day, basis } = standingOf(context)
  const now = today()
  const input = h('input', {
    type: 'date',
    id: 'standing-day',
    value: day,
    onchange: () => input.value && context.go({ plan: { as_of: input.value } }),
  })
  const others: Child[] = []
  if (basis === 'chosen')
    others.push(h('a', { href: context.link({ plan: { as_of: null } }) }, 'Last day on record'))
  if (day !== now) others.push(h('a', { href: context.link({ plan: { as_of: now } }) }, 'Today'))
  return h(
    'p',
    { class: 'standing' },
    h('label', { for: 'standing-day' }, 'Standing on '),
    input,
    h(
      'span',
      {},
      ` ${dayText(day, true)}${basis === 'chosen' ? '' : `, the ${basis}`}.`.replace('the today', 'today'),
    ),
    others.map((link) => [' ', link]),
  )
}

export { today }
