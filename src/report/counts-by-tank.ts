import type { ResultRow } from '../catalogue/index.ts'
import type { TableBlock } from './block.ts'

/** One line for each tank: the total of each of its counters, and the openings that nobody wrote down. */
export function countsByTank(rows: readonly ResultRow[]): TableBlock {
  const counters = [...new Set(rows.map((row) => String(row.counter)))].sort(
    (a, b) => place(a) - place(b) || a.localeCompare(b),
  )
  const tanks = [...new Set(rows.map((row) => String(row.item)))].sort()
  const of = (tank: string, counter: string): ResultRow | undefined =>
    rows.find((row) => row.item === tank && row.counter === counter)
  return {
    is: 'table',
    name: 'totals by tank',
    caption:
      'Tanks: total of each counter, the part of the openings that is inferred, and how far all have reported',
    columns: [
      { name: 'tank', kind: 'text', about: 'serial of the tank' },
      ...counters.map((counter) => ({
        name: counter,
        kind: 'integer' as const,
        about: `total of ${counter}`,
      })),
      { name: 'inferred', kind: 'integer', about: 'openings inferred' },
      { name: 'counted_through', kind: 'day', about: 'last day that all expected witnesses reported' },
    ],
    rows: tanks.map((tank) => ({
      tank,
      ...Object.fromEntries(counters.map((counter) => [counter, of(tank, counter)?.total ?? null])),
      inferred: of(tank, 'openings')?.inferred ?? null,
      counted_through: of(tank, 'openings')?.counted_through ?? null,
    })),
  }
}

const order = ['openings', 'retardant-openings', 'fills', 'emergency-releases', 'mountings', 'mounted-hours']
const place = (counter: string): number => {
  const at = order.indexOf(counter)
  return at < 0 ? order.length : at
}
