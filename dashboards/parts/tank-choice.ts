import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { empty } from './states.ts'

/** The tank of a page about one tank: from the filter, or the only one there is. */
export async function wantedTank(context: Context): Promise<string | null> {
  if (context.filters.tank) return context.filters.tank
  const tanks = await context.api.query<{ tank: string }>('tanks', {})
  return tanks.length === 1 ? tanks[0]!.tank : null
}

/** The answer about the tank that is chosen; until one is, a way to choose it. */
export async function ofTank(
  context: Context,
  answer: (tank: string) => Promise<Child>,
  isFirst = false,
): Promise<Child> {
  const tank = await wantedTank(context)
  if (tank) return answer(tank)
  const tanks = await context.api.query<{ tank: string }>('tanks', {})
  if (!tanks.length) return empty('No tank is on record.', 'Bring in tank.csv, mounting.csv and fitting.csv.')
  if (!isFirst) return empty('Choose a tank above.')
  return h(
    'div',
    {},
    h('p', {}, 'Which tank?'),
    h(
      'ul',
      { class: 'choices' },
      tanks.map(({ tank }) => h('li', {}, h('a', { href: context.link({ filters: { tank } }) }, tank))),
    ),
  )
}
