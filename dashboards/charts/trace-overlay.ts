import { figure, quantity, shown, unitOf } from '../units.ts'
import { type Chart, optionsOf } from './chart.ts'
import { lineColours, muted } from './palette.ts'
import { draw, narrow, Plot } from './plot.ts'
import { median, plural } from './words.ts'

export interface TraceRow {
  drop: string
  tank?: string | null
  /** Seconds from the start of the record. */
  t_s: number
  level_gal: number
}

/** Releases laid over one another: level against time, each from its own start. */
export const traceOverlay: Chart<TraceRow> = {
  name: 'trace-overlay',
  columns: [
    { name: 'drop', label: 'drop' },
    { name: 't_s', label: 'time', measure: 'seconds', digits: 2 },
    { name: 'level_gal', label: 'level', measure: 'volume' },
  ],
  finding(rows) {
    const times = evacuations(rows)
    const middle = median([...times.values()])
    if (middle === null) return 'No release trace on these days'
    const slowest = [...times].sort((a, b) => b[1] - a[1])[0]!
    return `Half of ${plural(times.size, 'release')} were out within ${figure(middle, 'seconds', 'us')} s; the slowest took ${figure(slowest[1], 'seconds', 'us')} s`
  },
  caption: (_rows, options) =>
    `Level in the tank, ${unitOf('volume', optionsOf(options).units)}, against seconds from the start of each record.`,
  describe(rows, options) {
    const { units } = optionsOf(options)
    const top = rows.reduce((a, row) => Math.max(a, row.level_gal), 0)
    return `${plural(new Set(rows.map((row) => row.drop)).size, 'falling line')} from up to ${quantity(top, 'volume', units)}.`
  },
  draw(rows, size, options) {
    const { units } = optionsOf(options)
    const drops = [...new Set(rows.map((row) => row.drop))]
    const tanks = [...new Set(rows.map((row) => row.tank ?? ''))]
    const colour = (row: TraceRow): string =>
      tanks.length > 1 ? lineColours[tanks.indexOf(row.tank ?? '') % lineColours.length]! : lineColours[1]!
    return draw({ width: size.width, height: size.height ?? 280 }, options, {
      marginLeft: 52,
      marginRight: 20,
      marginTop: 14,
      marginBottom: 34,
      x: { label: 'seconds', labelArrow: 'none', ticks: narrow(size) ? 4 : 8 },
      y: { grid: true, label: null, zero: true, ticks: 5 },
      marks: [
        Plot.line(rows, {
          x: 't_s',
          y: (row: TraceRow) => shown(row.level_gal, 'volume', units)!,
          z: 'drop',
          stroke: colour,
          strokeOpacity: drops.length > 12 ? 0.45 : 0.8,
          strokeWidth: 1.3,
          title: 'drop',
          ...(options.evidence ? { href: (row: TraceRow) => options.evidence!('drop', row.drop) } : {}),
        }),
        Plot.ruleY([0], { stroke: muted }),
      ],
    })
  },
}

/** Seconds from the first point below 98 % of the fall to the first below 2 %: what the eye reads off the drawing, no more. */
function evacuations(rows: readonly TraceRow[]): Map<string, number> {
  const byDrop = new Map<string, TraceRow[]>()
  for (const row of rows) {
    const list = byDrop.get(row.drop) ?? []
    list.push(row)
    byDrop.set(row.drop, list)
  }
  const times = new Map<string, number>()
  for (const [drop, points] of byDrop) {
    const levels = points.map((point) => point.level_gal)
    const high = Math.max(...levels)
    const low = Math.min(...levels)
    const start = points.find((point) => point.level_gal < low + 0.98 * (high - low))
    const end = points.find((point) => point.level_gal <= low + 0.02 * (high - low))
    if (start && end && end.t_s > start.t_s) times.set(drop, end.t_s - start.t_s)
  }
  return times
}
