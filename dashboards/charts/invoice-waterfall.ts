import * as Plot from '@observablehq/plot'
import { money } from '../units.ts'
import type { Chart } from './chart.ts'
import { blue, ink, muted, ochre, oxide, rule, slate } from './palette.ts'
import { draw, narrow } from './plot.ts'
import { fromZero, short } from './words.ts'

export interface InvoiceFindingRow {
  invoice: string | null
  line: number | string | null
  finding: string
  billed_amount: string | number | null
  supported_amount: string | number | null
  difference_amount: string | number | null
}

interface Step {
  label: string
  from: number
  to: number
  colour: string
}

/** For the length of a bar only: sums that are read stay exact and come from the warehouse. */
const amount = (value: string | number | null): number => (value === null ? 0 : Number(value))

/** From what was billed, finding by finding, down to what the record supports. */
export const invoiceWaterfall: Chart<InvoiceFindingRow> = {
  name: 'invoice-waterfall',
  columns: [
    { name: 'finding', label: 'finding' },
    { name: 'lines', label: 'lines', measure: 'count' },
    { name: 'difference_amount', label: 'difference', measure: 'money' },
  ],
  finding(rows) {
    const { billed, supported } = ends(rows)
    const worst = byFinding(rows)[0]
    if (!billed) return 'No invoice line on these days'
    if (!worst) return `All of ${money(billed.toFixed(2))} rests on the record`
    return `${finePercent(supported, billed)} of ${money(billed.toFixed(2))} rests on the record; most of the gap is ${worst.finding}`
  },
  caption: (rows) =>
    `Billed, less each finding, to supported; in the currency of the contract.${scaleOf(rows)[0] > 0 ? ' The axis does not begin at zero.' : ''}`,
  describe(rows) {
    const { billed, supported } = ends(rows)
    return `Waterfall from billed ${money(billed.toFixed(2))} to supported ${money(supported.toFixed(2))}: ${byFinding(
      rows,
    )
      .map((group) => `${group.finding} ${money(group.difference.toFixed(2))}`)
      .join('; ')}.`
  },
  draw(rows, size, options) {
    const { billed, supported } = ends(rows)
    const scale = scaleOf(rows)
    const steps: Step[] = [{ label: 'billed', from: scale[0], to: billed, colour: slate }]
    let level = billed
    for (const group of byFinding(rows)) {
      steps.push({
        label: group.finding,
        from: level,
        to: level - group.difference,
        colour: group.difference >= 0 ? oxide : ochre,
      })
      level -= group.difference
    }
    steps.push({ label: 'supported', from: scale[0], to: supported, colour: blue })
    return draw({ width: size.width, height: 30 + steps.length * 30 }, options, {
      marginLeft: narrow(size) ? 96 : 130,
      marginRight: 90,
      marginTop: 24,
      marginBottom: 8,
      x: {
        axis: 'top',
        grid: true,
        label: null,
        tickFormat: scale[0] > 0 ? (value: number) => value.toLocaleString('en-US') : short,
        domain: scale,
        ticks: narrow(size) ? 2 : 5,
      },
      y: { domain: steps.map((step) => step.label), label: null, tickSize: 0 },
      marks: [
        Plot.barX(steps, {
          x1: 'from',
          x2: 'to',
          y: 'label',
          fill: 'colour',
          insetTop: 5,
          insetBottom: 5,
          title: (step: Step) =>
            `${step.label}: ${money((isTotal(step) ? step.to : step.to - step.from).toFixed(2))}`,
        }),
        Plot.ruleX(steps.slice(0, -1), { x: 'to', y: 'label', stroke: rule, dy: 15 }),
        Plot.text(steps, {
          x: (step: Step) => Math.max(step.from, step.to),
          y: 'label',
          dx: 6,
          textAnchor: 'start',
          fill: muted,
          text: (step: Step) => money((isTotal(step) ? step.to : step.to - step.from).toFixed(2)),
        }),
        Plot.ruleX([scale[0]], { stroke: ink, ...(scale[0] > 0 ? { strokeDasharray: '4,3' } : {}) }),
      ],
    })
  },
}

/** Rows of the table: one per finding, from the rows that carry amounts. */
export function byFinding(
  rows: readonly InvoiceFindingRow[],
): { finding: string; lines: number; difference: number; difference_amount: string }[] {
  const groups = new Map<
    string,
    { finding: string; lines: number; difference: number; difference_amount: string }
  >()
  for (const row of rows) {
    const difference = amount(row.difference_amount)
    if (row.finding === 'unbilled' || row.difference_amount === null || difference === 0) continue
    const group = groups.get(row.finding) ?? {
      finding: row.finding,
      lines: 0,
      difference: 0,
      difference_amount: '0.00',
    }
    group.lines++
    group.difference += difference
    group.difference_amount = group.difference.toFixed(2)
    groups.set(row.finding, group)
  }
  return [...groups.values()].sort((a, b) => Math.abs(b.difference) - Math.abs(a.difference))
}

function ends(rows: readonly InvoiceFindingRow[]): { billed: number; supported: number } {
  const lines = rows.filter((row) => row.finding !== 'unbilled')
  return {
    billed: lines.reduce((sum, row) => sum + amount(row.billed_amount), 0),
    supported: lines.reduce((sum, row) => sum + amount(row.supported_amount), 0),
  }
}

const isTotal = (step: Step): boolean => step.label === 'billed' || step.label === 'supported'

/** From zero, unless the findings would be too thin to see: then from a little below the lowest level. */
function scaleOf(rows: readonly InvoiceFindingRow[]): [number, number] {
  let level = ends(rows).billed
  const levels = [level, ends(rows).supported]
  for (const group of byFinding(rows)) {
    level -= group.difference
    levels.push(level)
  }
  const [low, high] = [Math.min(...levels), Math.max(...levels)]
  return low > 0 && high > low && high - low < 0.1 * high
    ? [low - 0.4 * (high - low), high]
    : fromZero(levels)
}

/** To a tenth where rounding would hide the gap. */
function finePercent(part: number, whole: number): string {
  const percent = (100 * part) / whole
  return `${percent > 99 && percent < 100 ? (Math.floor(percent * 10) / 10).toFixed(1) : Math.round(percent)} %`
}
