import * as Plot from '@observablehq/plot'
import { dayText } from '../times.ts'
import { figure, quantity, unitOf } from '../units.ts'
import { type Chart, optionsOf, type Size } from './chart.ts'
import { muted, ramp, rule } from './palette.ts'
import { draw } from './plot.ts'
import { plural, quantile } from './words.ts'

export interface DayRow {
  day: string
  drops: number
  gallons: number | null
  airborne_hours?: number | null
}

const dayMs = 86_400_000
const at = (day: string): number => Date.parse(`${day}T00:00:00Z`)
const monday = (day: string): number => at(day) - ((new Date(at(day)).getUTCDay() + 6) % 7) * dayMs
const weekday = (day: string): number => (new Date(at(day)).getUTCDay() + 6) % 7
const letters = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun']

/** One cell a day, a column a week, Monday on top; the depth of the cell is the gallons delivered. */
export const seasonCalendar: Chart<DayRow> = {
  name: 'season-calendar',
  columns: [
    { name: 'day', label: 'day', measure: 'day' },
    { name: 'drops', label: 'drops', measure: 'count' },
    { name: 'gallons', label: 'delivered', measure: 'volume' },
    { name: 'airborne_hours', label: 'airborne', measure: 'hours' },
  ],
  finding(rows, options) {
    const { units } = optionsOf(options)
    const active = rows.filter((row) => (row.gallons ?? 0) > 0).sort((a, b) => b.gallons! - a.gallons!)
    const total = active.reduce((sum, row) => sum + row.gallons!, 0)
    const [peak] = active
    if (!peak) return 'No fluid was delivered on these days'
    if (active.length < 5)
      return `${plural(active.length, 'day')} with drops; the busiest was ${dayText(peak.day)}`
    let part = 0
    let days = 0
    while (part < total / 2) part += active[days++]!.gallons!
    return `Half of the ${quantity(total, 'volume', units)} fell on ${plural(days, 'day')} of ${active.length}; the peak was ${dayText(peak.day)}`
  },
  caption: (_rows, options) =>
    `Delivered volume by operating day, ${unitOf('volume', optionsOf(options).units)}. A column is a week.`,
  describe(rows, options) {
    const { units } = optionsOf(options)
    const active = rows.filter((row) => (row.gallons ?? 0) > 0)
    const most = [...active].sort((a, b) => b.gallons! - a.gallons!).slice(0, 3)
    return `Calendar of ${plural(active.length, 'day')} with drops. Largest: ${most
      .map((row) => `${dayText(row.day)} ${quantity(row.gallons, 'volume', units)}`)
      .join(', ')}.`
  },
  draw(rows, size, options) {
    const { units } = optionsOf(options)
    const amounts = rows.map((row) => row.gallons ?? 0).filter((amount) => amount > 0)
    const steps = [0.2, 0.4, 0.6, 0.8].map((share) => rounded(quantile(amounts, share) ?? share))
    const days = calendarDays(rows)
    const weeks = [...new Set(days.map((row) => monday(row.day)))].sort((a, b) => a - b)
    const cell = Math.max(9, Math.min(32, (size.width - 36 - 8) / Math.max(weeks.length, 1)))
    const months = weeks.filter((week, index) => {
      const before = weeks[index - 1]
      return (
        before === undefined ||
        new Date(week + 6 * dayMs).getUTCMonth() !== new Date(before + 6 * dayMs).getUTCMonth()
      )
    })
    const width = Math.min(size.width, Math.round(36 + 8 + cell * weeks.length))
    const svg = draw({ width, height: Math.round(cell * 7 + 22 + 34) }, options, {
      marginLeft: 36,
      marginRight: 8,
      marginTop: 22,
      marginBottom: 34,
      x: { domain: weeks, axis: null, padding: 0.12 },
      y: {
        domain: [0, 1, 2, 3, 4, 5, 6],
        label: null,
        tickFormat: (index: number) => letters[index] ?? '',
        tickSize: 0,
        padding: 0.12,
      },
      color: { type: 'threshold', domain: steps, range: [...ramp] },
      marks: [
        Plot.text(months, {
          x: (week) => week,
          frameAnchor: 'top',
          dy: -14,
          textAnchor: 'start',
          dx: -cell / 2,
          fill: muted,
          text: (week) =>
            new Intl.DateTimeFormat('en-GB', { month: 'short', timeZone: 'UTC' }).format(week + 6 * dayMs),
        }),
        Plot.cell(
          days.filter((row) => !row.gallons),
          {
            x: (row: DayRow) => monday(row.day),
            y: (row: DayRow) => weekday(row.day),
            fill: 'none',
            stroke: rule,
            strokeWidth: 0.6,
          },
        ),
        Plot.cell(
          days.filter((row) => row.gallons),
          {
            x: (row: DayRow) => monday(row.day),
            y: (row: DayRow) => weekday(row.day),
            fill: 'gallons',
            title: (row: DayRow) =>
              `${dayText(row.day, true)}: ${quantity(row.gallons, 'volume', units)} in ${plural(row.drops, 'drop')}`,
            ...(options.link ? { href: (row: DayRow) => options.link!({ from: row.day, to: row.day }) } : {}),
          },
        ),
      ],
    })
    legend(
      svg,
      steps.map((step) => figure(step, 'volume', units)),
      size,
      options,
      cell,
    )
    return svg
  },
}

/** A threshold that reads well: two figures that matter. */
function rounded(amount: number): number {
  const step = 10 ** Math.max(0, Math.floor(Math.log10(Math.max(amount, 1))) - 1)
  return Math.max(1, Math.round(amount / step)) * step
}

function calendarDays(rows: readonly DayRow[]): DayRow[] {
  if (!rows.length) return []
  const known = new Map(rows.map((row) => [row.day, row]))
  const stamps = rows.map((row) => at(row.day))
  const first = stamps.reduce((a, b) => Math.min(a, b))
  const last = stamps.reduce((a, b) => Math.max(a, b))
  const days: DayRow[] = []
  for (let moment = first; moment <= last && days.length < 1100; moment += dayMs) {
    const day = new Date(moment).toISOString().slice(0, 10)
    days.push(known.get(day) ?? { day, drops: 0, gallons: 0 })
  }
  return days
}

/** The key under the cells: five squares with the four thresholds between them. */
function legend(
  svg: SVGSVGElement,
  steps: string[],
  size: Size,
  options: { document?: Document },
  cell: number,
): void {
  const owner = options.document ?? document
  const space = 'http://www.w3.org/2000/svg'
  const group = owner.createElementNS(space, 'g')
  const y = cell * 7 + 22 + 14
  ramp.forEach((colour, index) => {
    const square = owner.createElementNS(space, 'rect')
    const x = 36 + index * 54
    if (x + 12 > size.width) return
    for (const [name, value] of Object.entries({ x, y, width: 12, height: 12, fill: colour }))
      square.setAttribute(name, String(value))
    group.append(square)
    const step = steps[index]
    if (step === undefined) return
    const label = owner.createElementNS(space, 'text')
    for (const [name, value] of Object.entries({
      x: x + 33,
      y: y + 10,
      fill: muted,
      'text-anchor': 'middle',
      'font-size': 11,
    }))
      label.setAttribute(name, String(value))
    label.textContent = step
    group.append(label)
  })
  svg.append(group)
}
