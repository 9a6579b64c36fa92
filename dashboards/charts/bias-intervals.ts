import { figure } from '../units.ts'
import type { Chart } from './chart.ts'
import { drawIntervals } from './intervals.ts'
import { blue, oxide, slate } from './palette.ts'
import { plural } from './words.ts'

export interface BiasRow {
  /** Base, or tank with its setting. */
  label: string
  count: number
  bias_pct: number | null
  low_pct: number | null
  high_pct: number | null
}

const percentOf = (value: number, digits = 1): string =>
  `${value > 0 ? '+' : ''}${figure(value, 'percent', 'us', digits)} %`
const percent = (value: number): string => percentOf(value)
/** Tenths of a percent do not tell small biases apart. */
const scaleOf = (rows: readonly BiasRow[]): ((value: number) => string) => {
  const far = rows.reduce((a, row) => Math.max(a, Math.abs(row.low_pct ?? 0), Math.abs(row.high_pct ?? 0)), 0)
  return (value) => percentOf(value, far > 0 && far < 1 ? 2 : 1)
}
const clear = (row: BiasRow): boolean => (row.low_pct ?? 0) > 0 || (row.high_pct ?? 0) < 0
const usable = (rows: readonly BiasRow[]): BiasRow[] =>
  rows.filter((row) => row.bias_pct !== null).sort((a, b) => b.bias_pct! - a.bias_pct!)

const most = 24

/** The biases farthest from zero, in order from high to low. */
const largest = (rows: readonly BiasRow[]): BiasRow[] =>
  usable([...usable(rows)].sort((a, b) => Math.abs(b.bias_pct!) - Math.abs(a.bias_pct!)).slice(0, most))

/** Biases with their 95 % intervals; those that chance does not explain stand out. `what` names the thing measured. */
export function biasIntervals(name: string, what: string, counted: string, caption: string): Chart<BiasRow> {
  return {
    name,
    columns: [
      { name: 'label', label: what },
      { name: 'count', label: counted, measure: 'count' },
      { name: 'bias_pct', label: 'bias', measure: 'percent' },
      { name: 'low_pct', label: 'low, 95 %', measure: 'percent' },
      { name: 'high_pct', label: 'high, 95 %', measure: 'percent' },
    ],
    finding(rows) {
      const off = usable(rows).filter(clear)
      if (!usable(rows).length) return `No ${what} has enough ${counted} to speak`
      if (!off.length) return `No ${what} is off by more than chance explains`
      const worst = off.reduce((a, row) => (Math.abs(row.bias_pct!) > Math.abs(a.bias_pct!) ? row : a))
      return `${worst.label} is off by ${percent(worst.bias_pct!)}; ${off.length} of ${plural(usable(rows).length, what)} ${off.length === 1 ? 'is' : 'are'} off by more than chance explains`
    },
    caption: () => caption,
    describe: (rows) =>
      `Dots with intervals: ${usable(rows)
        .map(
          (row) =>
            `${row.label} ${percent(row.bias_pct!)} (${percent(row.low_pct ?? row.bias_pct!)} to ${percent(row.high_pct ?? row.bias_pct!)})`,
        )
        .join('; ')}.`,
    draw: (rows, size, options) =>
      drawIntervals(
        largest(rows).map((row) => ({
          label: row.label,
          value: row.bias_pct!,
          low: row.low_pct ?? row.bias_pct!,
          high: row.high_pct ?? row.bias_pct!,
          colour: clear(row) ? (row.bias_pct! > 0 ? oxide : blue) : slate,
          note: `n ${row.count}`,
        })),
        size,
        options,
        { format: scaleOf(largest(rows)), reference: 0 },
      ),
  }
}
