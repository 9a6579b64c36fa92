import * as Plot from '@observablehq/plot'
import { quantity, shown, unitOf } from '../units.ts'
import { type Chart, optionsOf } from './chart.ts'
import { clip } from './clip.ts'
import { colourKey } from './colour-key.ts'
import { fluidColours, ink, muted, slate } from './palette.ts'
import { draw, narrow } from './plot.ts'
import { fromZero, percentOf, plural, short } from './words.ts'

export interface FireRow {
  fire: string
  name: string | null
  drops: number
  gallons: number | null
  water_gal: number | null
  retardant_gal: number | null
  gel_gal: number | null
  foam_gal: number | null
  flight_hours: number | null
  gallons_per_flight_hour: number | null
}

const fluids = ['retardant', 'water', 'gel', 'foam'] as const
const most = 14

/** Bars of delivered volume by fire, the fluids stacked; what no fire could be named for has its own bar. */
export const gallonsByFire: Chart<FireRow> = {
  name: 'gallons-by-fire',
  columns: [
    { name: 'fire', label: 'fire' },
    { name: 'name', label: 'name' },
    { name: 'drops', label: 'drops', measure: 'count' },
    { name: 'gallons', label: 'delivered', measure: 'volume' },
    { name: 'retardant_gal', label: 'retardant', measure: 'volume' },
    { name: 'water_gal', label: 'water', measure: 'volume' },
    { name: 'gel_gal', label: 'gel', measure: 'volume' },
    { name: 'foam_gal', label: 'foam', measure: 'volume' },
    { name: 'flight_hours', label: 'flight hours', measure: 'hours' },
    { name: 'gallons_per_flight_hour', label: 'per flight hour', measure: 'volume-rate' },
  ],
  finding(rows, options) {
    const { units } = optionsOf(options)
    const named = sorted(rows).filter((row) => row.fire !== 'unattributed')
    const total = rows.reduce((sum, row) => sum + (row.gallons ?? 0), 0)
    const [first, second, third] = named
    if (!first?.gallons) return 'No fire received fluid on these days'
    if (!second) return `${label(first)} received ${quantity(first.gallons, 'volume', units)}`
    const three = [first, second, third].reduce((sum, row) => sum + (row?.gallons ?? 0), 0)
    return named.length > 4
      ? `Three fires took ${percentOf(three, total)} of the volume; ${label(first)} alone ${percentOf(first.gallons, total)}`
      : `${label(first)} took ${percentOf(first.gallons, total)} of the volume`
  },
  caption: (_rows, options) =>
    `Delivered volume by fire and fluid, ${unitOf('volume', optionsOf(options).units)}.`,
  describe(rows, options) {
    const { units } = optionsOf(options)
    return `Bars for ${plural(rows.length, 'row')}: ${sorted(rows)
      .slice(0, 6)
      .map((row) => `${label(row)} ${quantity(row.gallons, 'volume', units)}`)
      .join('; ')}.`
  },
  draw(rows, size, options) {
    const { units } = optionsOf(options)
    const bars = sorted(rows).slice(0, most)
    const parts = bars.flatMap((row) => {
      const known = fluids.map((fluid) => ({ row, fluid: fluid as string, amount: row[`${fluid}_gal`] ?? 0 }))
      const rest = (row.gallons ?? 0) - known.reduce((sum, part) => sum + part.amount, 0)
      return [...known, { row, fluid: 'not named', amount: rest > 0.5 ? rest : 0 }].filter(
        (part) => part.amount > 0,
      )
    })
    const left = narrow(size) ? 96 : 150
    const colours = [
      ...fluids.map((fluid) => [fluid, fluidColours[fluid]!] as const),
      ['not named', slate] as const,
    ]
    return draw({ width: size.width, height: 62 + bars.length * 24 }, options, {
      marginLeft: left,
      marginRight: 70,
      marginTop: 48,
      marginBottom: 10,
      x: {
        axis: 'top',
        grid: true,
        label: null,
        ticks: narrow(size) ? 3 : 6,
        tickFormat: short,
        domain: fromZero(bars.map((row) => shown(row.gallons, 'volume', units) ?? 0)),
        transform: (amount: number) => shown(amount, 'volume', units)!,
      },
      y: { domain: bars.map((row) => row.fire), label: null, axis: null },
      color: {
        domain: colours.map(([fluid]) => fluid),
        range: colours.map(([, colour]) => colour),
      },
      marks: [
        Plot.barX(parts, {
          x: 'amount',
          y: (part) => part.row.fire,
          fill: 'fluid',
          insetTop: 3,
          insetBottom: 3,
          title: (part) => `${label(part.row)}: ${quantity(part.amount, 'volume', units)} of ${part.fluid}`,
          ...(options.link
            ? { href: (part: { row: FireRow }) => options.link!({ fire: part.row.fire }) }
            : {}),
        }),
        Plot.text(bars, {
          y: 'fire',
          x: 0,
          dx: -8,
          textAnchor: 'end',
          fill: ink,
          text: (row: FireRow) => clip(label(row), narrow(size) ? 14 : 24),
        }),
        Plot.text(bars, {
          y: 'fire',
          x: (row: FireRow) => row.gallons ?? 0,
          dx: 6,
          textAnchor: 'start',
          fill: muted,
          text: (row: FireRow) => quantity(row.gallons, 'volume', units).replace(/\s.*$/, ''),
        }),
        Plot.ruleX([0], { stroke: ink }),
        ...colourKey(
          colours.filter(([fluid]) => parts.some((part) => part.fluid === fluid)),
          { frameAnchor: 'top-left', dy: -38 },
        ),
      ],
    })
  },
}

const sorted = (rows: readonly FireRow[]): FireRow[] =>
  [...rows].sort(
    (a, b) =>
      Number(a.fire === 'unattributed') - Number(b.fire === 'unattributed') ||
      (b.gallons ?? 0) - (a.gallons ?? 0),
  )

const label = (row: FireRow): string => row.name ?? row.fire
