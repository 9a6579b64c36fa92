/** Whole numbers from the first to the last. */
export interface Spread {
  readonly from: number
  readonly to: number
}

/** So many stretches are asked for one by one. */
const mostStretches = 16

/**
 * SQL that holds for all numbers within these stretches, and for few others: in constants, which the reader of a table asks
 * before it reads the rest of a row. Of very many stretches those that lie nearest are taken for one.
 * @param stretches ascending, apart from one another
 */
export function spreadSql(column: string, stretches: readonly Spread[]): string {
  if (stretches.length === 0) return 'false'
  const widest = stretches
    .slice(1)
    .map(({ from }, place) => from - stretches[place]!.to)
    .sort((a, b) => b - a)
  const least = widest[mostStretches - 1] ?? 0
  const joined: Spread[] = []
  for (const { from, to } of stretches) {
    const last = joined.at(-1)
    if (last && from - last.to <= least) joined[joined.length - 1] = { from: last.from, to }
    else joined.push({ from, to })
  }
  const within = ({ from, to }: Spread): string => `${column} BETWEEN ${from} AND ${to}`
  const all = within({ from: joined[0]!.from, to: joined.at(-1)!.to })
  return joined.length === 1 ? all : `${all} AND (${joined.map(within).join(' OR ')})`
}
