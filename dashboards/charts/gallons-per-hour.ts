import * as Plot from '@observablehq/plot'
import { quantity, shown, unitOf } from '../units.ts'
import { type Chart, optionsOf } from './chart.ts'
import { ink, muted, oxide, rule } from './palette.ts'
import { draw } from './plot.ts'
import { plural } from './words.ts'

export interface FlightGallonsRow {
  flight: string
  aircraft: string
  day: string | null
  airborne_hours: number | null
  gallons: number | null
  /** Mission flights of the aircraft, and the quartiles of their rates: of all of them, though only some have a row. */
  flights: number
  low: number | null
  middle: number | null
  high: number | null
}

const rate = (row: FlightGallonsRow): number | null =>
  row.gallons !== null && row.airborne_hours ? row.gallons / row.airborne_hours : null

/** Each mission flight a dot; the bar spans the middle half, the tick is the median. */
export const gallonsPerHour: Chart<FlightGallonsRow> = {
  name: 'gallons-per-flight-hour',
  columns: [
    { name: 'aircraft', label: 'aircraft' },
    { name: 'flight', label: 'flight' },
    { name: 'day', label: 'day', measure: 'day' },
    { name: 'airborne_hours', label: 'airborne', measure: 'hours', digits: 2 },
    { name: 'gallons', label: 'delivered', measure: 'volume' },
  ],
  finding(rows, options) {
    const { units } = optionsOf(options)
    const groups = summary(rows)
    const [best] = groups
    if (!best) return 'No mission flight on these days'
    const low = groups.at(-1)!
    if (groups.length === 1)
      return `${best.aircraft} delivered ${quantity(best.middle, 'volume-rate', units)} on its median mission flight`
    return `Median mission flight: from ${quantity(low.middle, 'volume-rate', units)} (${low.aircraft}) to ${quantity(best.middle, 'volume-rate', units)} (${best.aircraft})`
  },
  caption(rows, options) {
    const [dots, all] = [drawn(rows).length, rated(rows).length]
    const some =
      dots < all
        ? ` Dots: ${dots.toLocaleString('en-US')} of ${all.toLocaleString('en-US')} flights; bar and tick are of all.`
        : ''
    return `Delivered volume per airborne hour of each mission flight, ${unitOf('volume-rate', optionsOf(options).units)}; bar: middle half, tick: median.${some}`
  },
  describe(rows, options) {
    const { units } = optionsOf(options)
    return `One strip per aircraft. ${summary(rows)
      .map(
        (group) =>
          `${group.aircraft}: median ${quantity(group.middle, 'volume-rate', units)}, middle half ${quantity(group.low, 'volume-rate', units)} to ${quantity(group.high, 'volume-rate', units)}, ${plural(group.count, 'flight')}`,
      )
      .join('; ')}.`
  },
  draw(rows, size, options) {
    const { units } = optionsOf(options)
    const groups = summary(rows)
    const dots = drawn(rows)
    const value = (amount: number | null): number => shown(amount, 'volume-rate', units) ?? 0
    return draw({ width: size.width, height: 44 + groups.length * 34 }, options, {
      marginLeft: 74,
      marginRight: 24,
      marginTop: 26,
      marginBottom: 14,
      x: { axis: 'top', grid: true, label: null, zero: true, ticks: 5 },
      y: { domain: groups.map((group) => group.aircraft), label: null, tickSize: 0 },
      marks: [
        Plot.barX(groups, {
          x1: (group) => value(group.low),
          x2: (group) => value(group.high),
          y: 'aircraft',
          fill: rule,
          fillOpacity: 0.75,
          insetTop: 9,
          insetBottom: 9,
        }),
        Plot.dot(dots, {
          x: (row: FlightGallonsRow) => value(rate(row)),
          y: 'aircraft',
          r: 3,
          stroke: oxide,
          strokeOpacity: 0.75,
          fill: oxide,
          fillOpacity: 0.18,
          title: (row: FlightGallonsRow) =>
            `${row.aircraft}: ${quantity(rate(row), 'volume-rate', units)} (${row.flight})`,
          ...(options.evidence
            ? { href: (row: FlightGallonsRow) => options.evidence!('flight', row.flight) }
            : {}),
        }),
        Plot.tickX(groups, {
          x: (group) => value(group.middle),
          y: 'aircraft',
          stroke: ink,
          strokeWidth: 2.5,
          insetTop: 5,
          insetBottom: 5,
        }),
        Plot.text(groups, {
          x: (group) => value(group.middle),
          y: 'aircraft',
          dy: -15,
          fill: muted,
          text: (group) => quantity(group.middle, 'volume-rate', units).replace(/\s.*$/, ''),
          fontSize: 10,
        }),
        Plot.ruleX([0], { stroke: ink }),
      ],
    })
  },
}

/** More dots say no more, and a page that draws them all stands still. */
const mostDots = 4000

const rated = (rows: readonly FlightGallonsRow[]): FlightGallonsRow[] =>
  rows.filter((row) => rate(row) !== null)

/** Every flight, or of very many one in so many. */
function drawn(rows: readonly FlightGallonsRow[]): FlightGallonsRow[] {
  const all = rated(rows)
  const step = Math.ceil(all.length / mostDots)
  return step <= 1 ? all : all.filter((_, place) => place % step === 0)
}

interface Group {
  aircraft: string
  count: number
  low: number
  middle: number
  high: number
}

function summary(rows: readonly FlightGallonsRow[]): Group[] {
  const groups = new Map<string, Group>()
  for (const { aircraft, flights, low, middle, high } of rows) {
    if (low !== null && middle !== null && high !== null)
      groups.set(aircraft, { aircraft, count: flights, low, middle, high })
  }
  return [...groups.values()].sort((a, b) => b.middle - a.middle)
}
