import * as Plot from '@observablehq/plot'
import { figure, quantity, shown, unitOf } from '../units.ts'
import { type Chart, type ChartOptions, optionsOf } from './chart.ts'
import { blue, ink, muted, oxide } from './palette.ts'
import { draw, narrow } from './plot.ts'
import { fromZero, plural, short } from './words.ts'

export interface CurveRow {
  base: string
  distance_nm: number
  /** What the base's own times imply; null where they are too few. */
  gallons_per_hour: number | null
  turnarounds: number
  observed_gallons_per_hour: number | null
}

/** A base's own times: minutes that do not depend on distance, and the speed that its legs imply. */
export interface BaseTimes {
  base: string
  name: string | null
  turnarounds: number
  distance_nm: number | null
  gallons_per_turnaround: number | null
  fill_min: number | null
  fixed_min: number | null
  speed_kt: number | null
  fitted: number
}

export interface Asked {
  nearer_nm: number
  faster_min: number
}

/** Gallons per hour of work at a distance, with the fill shortened by some minutes, or gone where it takes less. */
export function gallonsPerHour(times: BaseTimes, distance_nm: number, faster_min = 0): number | null {
  const { gallons_per_turnaround, fixed_min, speed_kt, fill_min } = times
  if (gallons_per_turnaround === null || fixed_min === null || !speed_kt) return null
  const saved = Math.min(Math.max(faster_min, 0), fill_min ?? faster_min)
  const minutes = fixed_min - saved + (120 / speed_kt) * Math.max(distance_nm, 0)
  return minutes > 0 ? (60 * gallons_per_turnaround) / minutes : null
}

/** What the base delivers against distance, and what a nearer base or a faster fill would give in its stead. */
export function productivityCurve(times: BaseTimes, asked: Asked): Chart<CurveRow> {
  const at = times.distance_nm
  const now = at === null ? null : gallonsPerHour(times, at)
  const then = at === null ? null : gallonsPerHour(times, at - asked.nearer_nm, asked.faster_min)
  const wish = (options: ChartOptions): string => {
    const { units } = optionsOf(options)
    const parts = [
      asked.nearer_nm ? `${quantity(asked.nearer_nm, 'distance', units, 0)} nearer` : '',
      asked.faster_min ? `a fill ${asked.faster_min} min shorter` : '',
    ].filter(Boolean)
    return parts.join(' and ')
  }
  return {
    name: 'productivity-curve',
    columns: [
      { name: 'base', label: 'base' },
      { name: 'distance_nm', label: 'distance', measure: 'distance', digits: 0 },
      { name: 'turnarounds', label: 'turnarounds', measure: 'count' },
      { name: 'observed_gallons_per_hour', label: 'observed', measure: 'volume-rate' },
      { name: 'gallons_per_hour', label: "by the base's own times", measure: 'volume-rate' },
      { name: 'asked_gallons_per_hour', label: 'as asked', measure: 'volume-rate' },
    ],
    finding(_rows, options) {
      const { units } = optionsOf(options)
      if (now === null || at === null)
        return `${times.base} has too few turnarounds with known legs for a curve (${times.fitted}; 10 are needed)`
      const here = `${times.base} gives ${quantity(now, 'volume-rate', units)} at its median of ${quantity(at, 'distance', units, 0)}`
      if (then === null || !wish(options)) return here
      const gain = Math.round((100 * (then - now)) / now)
      return `${here}; ${wish(options)} would give ${quantity(then, 'volume-rate', units)} (+${gain} %)`
    },
    caption: (_rows, options) =>
      `Delivered volume per hour of work, ${unitOf('volume-rate', optionsOf(options).units)}, against distance to the drops, ${unitOf('distance', optionsOf(options).units)}. Line: the base's own times; dashed: as asked; dots: what turnarounds delivered, by band. Holding is left out; winds, queues and terrain of another place are not in it.`,
    describe(rows, options) {
      const { units } = optionsOf(options)
      return `A curve that falls with distance, and dots of ${plural(rows.filter((row) => row.observed_gallons_per_hour !== null).length, 'band')}: ${rows
        .filter((row) => row.observed_gallons_per_hour !== null)
        .map(
          (row) =>
            `${quantity(row.distance_nm, 'distance', units, 0)} ${quantity(row.observed_gallons_per_hour, 'volume-rate', units)}`,
        )
        .join('; ')}.`
    },
    draw(rows, size, options) {
      const { units } = optionsOf(options)
      const far = (row: CurveRow): number => shown(row.distance_nm, 'distance', units)!
      const rate = (value: number | null): number => shown(value, 'volume-rate', units) ?? 0
      const curve = rows.filter((row) => row.gallons_per_hour !== null)
      const wished = curve.map((row) => ({
        row,
        value: gallonsPerHour(times, row.distance_nm - asked.nearer_nm, asked.faster_min),
      }))
      const seen = rows.filter((row) => row.observed_gallons_per_hour !== null)
      const tops = [
        ...curve.map((row) => row.gallons_per_hour!),
        ...wished.map((one) => one.value ?? 0),
        ...seen.map((row) => row.observed_gallons_per_hour!),
      ]
      return draw({ width: size.width, height: size.height ?? 280 }, options, {
        marginLeft: 52,
        marginRight: 24,
        marginTop: 14,
        marginBottom: 36,
        x: { label: unitOf('distance', units), labelArrow: 'none', ticks: narrow(size) ? 4 : 8 },
        y: {
          grid: true,
          label: null,
          ticks: 5,
          tickFormat: short,
          domain: fromZero(tops.map((one) => rate(one) * 1.06)),
          clamp: true,
        },
        r: { range: [2.5, 9] },
        marks: [
          Plot.line(curve, {
            x: far,
            y: (row: CurveRow) => rate(row.gallons_per_hour),
            stroke: blue,
            strokeWidth: 2,
          }),
          Plot.line(
            wished.filter((one) => one.value !== null),
            {
              x: (one: (typeof wished)[number]) => far(one.row),
              y: (one: (typeof wished)[number]) => rate(one.value),
              stroke: oxide,
              strokeWidth: 2,
              strokeDasharray: '5,4',
            },
          ),
          Plot.dot(seen, {
            x: far,
            y: (row: CurveRow) => rate(row.observed_gallons_per_hour),
            r: 'turnarounds',
            fill: blue,
            fillOpacity: 0.35,
            stroke: blue,
            title: (row: CurveRow) =>
              `${quantity(row.distance_nm, 'distance', units, 0)}: ${quantity(row.observed_gallons_per_hour, 'volume-rate', units)} over ${plural(row.turnarounds, 'turnaround')}`,
          }),
          Plot.ruleX(at === null ? [] : [shown(at, 'distance', units)!], {
            stroke: muted,
            strokeDasharray: '2,3',
          }),
          Plot.text(at === null ? [] : [at], {
            x: (value: number) => shown(value, 'distance', units)!,
            frameAnchor: 'top',
            dx: 4,
            textAnchor: 'start',
            fill: muted,
            fontSize: 10,
            text: (value: number) => `median ${figure(value, 'distance', units, 0)}`,
          }),
          Plot.ruleY([0], { stroke: ink }),
        ],
      })
    },
  }
}
