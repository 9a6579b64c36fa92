import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { numberOf, type Row, textOf } from '../rows.ts'
import { figure } from '../units.ts'
import { standingOf } from './standing.ts'

const parts = ['baseline', 'recorded', 'counted', 'inferred', 'assumed', 'total', 'since_last'] as const

/** Cells of a counter, each a link to the events behind that part. What is nothing opens nothing. */
export function countCells(context: Context): Record<string, (row: Row) => Child> {
  const { day } = standingOf(context)
  const cell = (part: string) => (row: Row) => {
    const value = numberOf(row[part])
    const text = figure(value, 'count', 'us')
    // Days pass by themselves: nothing stands behind them.
    if (!value || row.counter === 'days') return text
    const [item, counter] = [textOf(row.item), textOf(row.counter)]
    return h(
      'a',
      {
        class: 'open',
        href: context.evidence('count', [item, counter, part, day].join('/')),
        'aria-label': `${text}: what ${part.replace('_', ' ')} ${counter} of ${item} are made of`,
      },
      text,
    )
  }
  return Object.fromEntries(parts.map((part) => [part, cell(part)]))
}
