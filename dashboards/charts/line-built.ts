import * as Plot from '@observablehq/plot'
import { figure, quantity, shown, unitOf } from '../units.ts'
import { type Chart, optionsOf } from './chart.ts'
import { clip } from './clip.ts'
import { ink, muted, ramp } from './palette.ts'
import { draw, narrow } from './plot.ts'
import { percentOf, plural } from './words.ts'

export interface LineRow {
  group_name: string
  name?: string | null
  drops: number
  bound_drops: number
  /** 100 V / (CL W): what every gallon would make if it lay evenly at the set coverage; chains. */
  bound_chains: number | null
  bound_ft_per_drop: number | null
  bound_ft_per_flight_hour: number | null
  observed_drops: number
  observed_chains: number | null
  observed_ft_per_drop: number | null
  /** Of the drops that have both. */
  observed_of_bound: number | null
}

const most = 14
const usable = (rows: readonly LineRow[]): LineRow[] =>
  [...rows].filter((row) => (row.bound_chains ?? 0) > 0).sort((a, b) => b.bound_chains! - a.bound_chains!)
const sum = (rows: readonly LineRow[], pick: (row: LineRow) => number | null): number =>
  rows.reduce((total, row) => total + (pick(row) ?? 0), 0)

/** Line that the fluid could make at the set coverage, and what observers saw of it on the drops that they judged. */
export function lineBuilt(what: string): Chart<LineRow> {
  return {
    name: 'line-built',
    columns: [
      { name: 'group_name', label: what },
      ...(what === 'fire' ? [{ name: 'name', label: 'name' }] : []),
      { name: 'drops', label: 'drops', measure: 'count' },
      { name: 'bound_chains', label: 'upper bound', measure: 'chains' },
      { name: 'bound_ft_per_drop', label: 'bound per drop', measure: 'length' },
      { name: 'bound_ft_per_flight_hour', label: 'bound per flight hour', measure: 'length' },
      { name: 'observed_drops', label: 'judged', measure: 'count' },
      { name: 'observed_chains', label: 'observed', measure: 'chains' },
      { name: 'observed_ft_per_drop', label: 'observed per drop', measure: 'length' },
      { name: 'observed_of_bound', label: 'observed of bound', measure: 'share' },
    ],
    finding(rows, options) {
      const { units } = optionsOf(options)
      const list = usable(rows)
      if (!list.length) return 'No drop has volume, coverage level and pattern width on record'
      const bound = sum(list, (row) => row.bound_chains)
      const judged = sum(list, (row) => row.observed_drops)
      const whole = `At the levels set, at most ${quantity(bound, 'chains', units, 0)} of line`
      const share = seenOfBound(list)
      if (!judged || share === null) return `${whole}; nobody judged what lay on the ground`
      return share > 1
        ? `${whole}; observers saw more than that: look at pattern widths and levels on record`
        : `${whole}; observers saw ${percentOf(share, 1)} of it on the ${plural(judged, 'drop')} that they judged`
    },
    caption: (_rows, options) =>
      `Wide bar: upper bound of line at the set coverage, 100 V / (CL W), ${unitOf('chains', optionsOf(options).units)}; no drop reaches it. Thin bar: line that observers judged, on the drops that they judged only.`,
    describe(rows, options) {
      const { units } = optionsOf(options)
      return `Bars, longest first: ${usable(rows)
        .slice(0, most)
        .map(
          (row) =>
            `${row.name ?? row.group_name} at most ${quantity(row.bound_chains, 'chains', units)}, ${quantity(row.observed_chains, 'chains', units)} observed on ${plural(row.observed_drops, 'drop')}`,
        )
        .join('; ')}.`
    },
    draw(rows, size, options) {
      const { units } = optionsOf(options)
      const all = usable(rows)
      const list = all.slice(0, most)
      const left = narrow(size) ? 104 : 170
      const scaled = (value: number | null): number => shown(value, 'chains', units) ?? 0
      const href =
        options.link && what === 'fire' ? (row: LineRow) => options.link!({ fire: row.group_name }) : null
      return draw({ width: size.width, height: 44 + list.length * 24 }, options, {
        marginLeft: left,
        marginRight: narrow(size) ? 48 : 96,
        marginTop: 28,
        marginBottom: 8,
        x: { axis: 'top', grid: true, label: null, ticks: narrow(size) ? 3 : 6 },
        y: { domain: list.map((row) => row.group_name), axis: null },
        marks: [
          Plot.barX(list, {
            x: (row: LineRow) => scaled(row.bound_chains),
            y: 'group_name',
            fill: ramp[1]!,
            insetTop: 3,
            insetBottom: 3,
            title: (row: LineRow) =>
              `${row.name ?? row.group_name}: at most ${quantity(row.bound_chains, 'chains', units)}; ${quantity(row.bound_ft_per_drop, 'length', units)} per drop, ${quantity(row.bound_ft_per_flight_hour, 'length', units)} per flight hour`,
            ...(href ? { href } : {}),
          }),
          Plot.barX(
            list.filter((row) => row.observed_chains),
            {
              x: (row: LineRow) => scaled(row.observed_chains),
              y: 'group_name',
              fill: ramp[4]!,
              insetTop: 9,
              insetBottom: 9,
              pointerEvents: 'none',
            },
          ),
          Plot.text(list, {
            y: 'group_name',
            frameAnchor: 'left',
            dx: -8,
            textAnchor: 'end',
            fill: ink,
            text: (row: LineRow) => clip(row.name ?? row.group_name, narrow(size) ? 15 : 26),
          }),
          Plot.text(list, {
            x: (row: LineRow) => scaled(row.bound_chains),
            y: 'group_name',
            dx: 5,
            textAnchor: 'start',
            fill: muted,
            fontSize: 10.5,
            text: (row: LineRow) => figure(row.bound_chains, 'chains', units, 0),
          }),
          Plot.ruleX([0], { stroke: ink }),
        ],
      })
    },
  }
}

/** Observed by bound of all groups together, weighted by the bound of the judged drops. */
function seenOfBound(rows: readonly LineRow[]): number | null {
  const both = rows.filter((row) => row.observed_of_bound && row.observed_chains)
  const seen = sum(both, (row) => row.observed_chains)
  const bound = sum(both, (row) => row.observed_chains! / row.observed_of_bound!)
  return bound > 0 ? seen / bound : null
}
