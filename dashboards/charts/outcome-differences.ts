import type { Chart } from './chart.ts'
import { drawIntervals } from './intervals.ts'
import { blue, oxide, slate } from './palette.ts'
import { plural } from './words.ts'

export interface DifferenceRow {
  rate: string
  group_name: string
  against: string
  yes: number
  known: number
  group_rate: number | null
  against_known: number
  against_rate: number | null
  difference: number | null
  low: number | null
  high: number | null
  is_different: boolean | null
  is_small: boolean | null
}

const points = (value: number): string =>
  `${value > 0 ? '+' : value < 0 ? '−' : ''}${Math.abs(Math.round(100 * value))}`
const usable = (rows: readonly DifferenceRow[]): DifferenceRow[] =>
  rows.filter((row) => row.difference !== null).sort((a, b) => b.difference! - a.difference!)
const span = (row: DifferenceRow): string =>
  `${points(row.low ?? row.difference!)} to ${points(row.high ?? row.difference!)}`

/** A group's rate less that of another group, or of all others, with the interval of the difference. `rate`: in words. */
export function outcomeDifferences(name: string, rate: string): Chart<DifferenceRow> {
  return {
    name,
    columns: [
      { name: 'group_name', label: 'group' },
      { name: 'against', label: 'against' },
      { name: 'yes', label: rate, measure: 'count' },
      { name: 'known', label: 'known', measure: 'count' },
      { name: 'group_rate', label: 'rate', measure: 'share' },
      { name: 'against_known', label: 'known of the other', measure: 'count' },
      { name: 'against_rate', label: 'rate of the other', measure: 'share' },
      { name: 'difference', label: 'difference', measure: 'share' },
      { name: 'low', label: 'low, 95 %', measure: 'share' },
      { name: 'high', label: 'high, 95 %', measure: 'share' },
    ],
    finding(rows) {
      const list = usable(rows)
      const [first] = list
      if (!first) return 'No two groups have known outcomes'
      const clear = list.filter((row) => row.is_different)
      if (!clear.length)
        return list.length === 1
          ? `${first.group_name} cannot be told from ${first.against}: ${points(first.difference!)} points (${span(first)})`
          : `No group can be told from ${first.against}`
      const widest = clear.reduce((a, row) => (Math.abs(row.difference!) > Math.abs(a.difference!) ? row : a))
      return `${widest.group_name} was ${rate} ${widest.difference! > 0 ? 'more' : 'less'} often than ${widest.against}: ${points(widest.difference!)} points (${span(widest)})${widest.is_small ? ', on few drops' : ''}`
    },
    caption: () =>
      `Share of drops ${rate}: group less the other, percentage points, 95 % interval (Newcombe, method 10). Grey: the interval holds zero. Of twenty comparisons one leaves zero out by chance.`,
    describe: (rows) =>
      `Dots with intervals: ${usable(rows)
        .map(
          (row) =>
            `${row.group_name} against ${row.against} ${points(row.difference!)} points (${span(row)}), ${plural(row.known, 'known outcome')} against ${row.against_known}`,
        )
        .join('; ')}.`,
    draw: (rows, size, options) =>
      drawIntervals(
        usable(rows).map((row) => ({
          label: row.group_name,
          value: row.difference!,
          low: row.low ?? row.difference!,
          high: row.high ?? row.difference!,
          colour: row.is_different ? (row.difference! > 0 ? blue : oxide) : slate,
          note: `n ${row.known}/${row.against_known}`,
        })),
        size,
        options,
        { format: points, reference: 0 },
      ),
  }
}
