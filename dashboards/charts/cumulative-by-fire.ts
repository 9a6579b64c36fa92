import * as Plot from '@observablehq/plot'
import { dayText } from '../times.ts'
import { quantity, shown, unitOf } from '../units.ts'
import { type Chart, optionsOf } from './chart.ts'
import { clip } from './clip.ts'
import { lineColours, muted, paper, rule } from './palette.ts'
import { draw, narrow } from './plot.ts'
import { fromZero, plural, short } from './words.ts'

export interface FireDayRow {
  fire: string
  name: string | null
  day: string
  gallons: number | null
}

interface Point {
  fire: string
  label: string
  day: Date
  total: number
}

/** Running total of each fire, as steps; the six largest are named at their ends. */
export const cumulativeByFire: Chart<FireDayRow> = {
  name: 'cumulative-gallons-by-fire',
  columns: [
    { name: 'fire', label: 'fire' },
    { name: 'name', label: 'name' },
    { name: 'day', label: 'day', measure: 'day' },
    { name: 'gallons', label: 'delivered', measure: 'volume' },
  ],
  finding(rows, options) {
    const { units } = optionsOf(options)
    const all = totals(rows)
    const largest = all.find((line) => line.fire !== 'unattributed') ?? all[0]
    if (!largest) return 'No fire received fluid on these days'
    const own = rows
      .filter((row) => row.fire === largest.fire && row.gallons)
      .sort((a, b) => a.day.localeCompare(b.day))
    let part = 0
    const half = own.find((row) => {
      part += row.gallons!
      return part >= largest.total / 2
    })
    return `${largest.label} had half of its ${quantity(largest.total, 'volume', units)} by ${dayText(half?.day)}`
  },
  caption: (_rows, options) =>
    `Running total of delivered volume by fire, ${unitOf('volume', optionsOf(options).units)}, by operating day.`,
  describe(rows, options) {
    const { units } = optionsOf(options)
    const list = totals(rows)
    return `Stepped lines for ${plural(list.length, 'fire')}. Ends: ${list
      .slice(0, 6)
      .map((line) => `${line.label} ${quantity(line.total, 'volume', units)}`)
      .join('; ')}.`
  },
  draw(rows, size, options) {
    const { units } = optionsOf(options)
    const list = totals(rows)
    const named = list.slice(0, narrow(size) ? 4 : 6)
    const colour = new Map(named.map((line, index) => [line.fire, lineColours[index]!]))
    const points = running(rows)
    const ends = named.map((line) => points.filter((point) => point.fire === line.fire).at(-1)!)
    const value = (point: Point): number => shown(point.total, 'volume', units)!
    const height = size.height ?? 340
    const top = Math.max(...points.map(value), 1)
    const right = narrow(size) ? 84 : 140
    const first = Math.min(...points.map((point) => point.day.getTime()))
    const last = Math.max(...points.map((point) => point.day.getTime()), first + 1)
    const plotWidth = size.width - 52 - right
    const placed = apart(
      ends.map((end) => ({
        end,
        label: clip(end.label, narrow(size) ? 11 : 20),
        x: ((end.day.getTime() - first) / (last - first)) * plotWidth,
        y: (value(end) / top) * (height - 52),
      })),
    )
    return draw({ width: size.width, height }, options, {
      marginLeft: 52,
      marginRight: right,
      marginTop: 12,
      marginBottom: 40,
      x: { type: 'utc', label: null, ticks: narrow(size) ? 3 : 7 },
      y: { grid: true, label: null, tickFormat: short, domain: fromZero(points.map(value)), ticks: 5 },
      marks: [
        Plot.line(
          points.filter((point) => !colour.has(point.fire)),
          { x: 'day', y: value, z: 'fire', stroke: rule, curve: 'step-after', strokeWidth: 1 },
        ),
        Plot.line(
          points.filter((point) => colour.has(point.fire)),
          {
            x: 'day',
            y: value,
            z: 'fire',
            title: 'label',
            stroke: (point: Point) => colour.get(point.fire)!,
            curve: 'step-after',
            strokeWidth: 1.8,
            ...(options.link ? { href: (point: Point) => options.link!({ fire: point.fire }) } : {}),
          },
        ),
        Plot.dot(ends, { x: 'day', y: value, fill: (point: Point) => colour.get(point.fire)!, r: 2.5 }),
        Plot.text(placed, {
          x: (item: Placed) => item.end.day,
          y: (item: Placed) => (item.y / (height - 52)) * top,
          dx: 7,
          textAnchor: 'start',
          fill: (item: Placed) => colour.get(item.end.fire)!,
          stroke: paper,
          strokeWidth: 4,
          fontWeight: 600,
          text: 'label',
          ...(options.link ? { href: (item: Placed) => options.link!({ fire: item.end.fire }) } : {}),
        }),
        Plot.ruleY([0], { stroke: muted }),
        ...(options.live
          ? [
              Plot.tip(
                points,
                Plot.pointer({
                  x: 'day',
                  y: value,
                  title: (point: Point) =>
                    `${point.label}, ${dayText(point.day.toISOString())}\n${quantity(point.total, 'volume', units)}`,
                }),
              ),
            ]
          : []),
      ],
    })
  },
}

function totals(rows: readonly FireDayRow[]): { fire: string; label: string; total: number }[] {
  const sums = new Map<string, { fire: string; label: string; total: number }>()
  for (const row of rows) {
    const sum = sums.get(row.fire) ?? { fire: row.fire, label: row.name ?? row.fire, total: 0 }
    sum.total += row.gallons ?? 0
    sums.set(row.fire, sum)
  }
  return [...sums.values()].filter((sum) => sum.total > 0).sort((a, b) => b.total - a.total)
}

function running(rows: readonly FireDayRow[]): Point[] {
  const sums = new Map<string, number>()
  const points: Point[] = []
  for (const row of [...rows].sort((a, b) => a.day.localeCompare(b.day))) {
    const day = new Date(`${row.day}T00:00:00Z`)
    const before = sums.get(row.fire)
    if (before === undefined) points.push({ fire: row.fire, label: row.name ?? row.fire, day, total: 0 })
    const total = (before ?? 0) + (row.gallons ?? 0)
    sums.set(row.fire, total)
    points.push({ fire: row.fire, label: row.name ?? row.fire, day, total })
  }
  return points
}

interface Placed {
  end: Point
  label: string
  /** Pixels from the left and from the bottom. */
  x: number
  y: number
}

const letterWidth = 7
const lineHeight = 15

/** Labels at the ends of their lines, moved up where one would lie on another. */
function apart(items: readonly Placed[]): Placed[] {
  const placed: Placed[] = []
  for (const item of [...items].sort((a, b) => a.y - b.y)) {
    const moved = { ...item }
    const isOn = (other: Placed): boolean =>
      moved.x < other.x + other.label.length * letterWidth &&
      other.x < moved.x + moved.label.length * letterWidth &&
      Math.abs(moved.y - other.y) < lineHeight
    for (let other = placed.find(isOn); other; other = placed.find(isOn)) moved.y = other.y + lineHeight
    placed.push(moved)
  }
  return placed
}
