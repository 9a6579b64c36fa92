import * as Plot from '@observablehq/plot'
import { figure, quantity, shown, unitOf } from '../units.ts'
import { type Chart, optionsOf } from './chart.ts'
import { lineColours, muted } from './palette.ts'
import { draw, narrow } from './plot.ts'
import { median, plural } from './words.ts'

export interface TraceRow {
  /** Number of the trace: one release. */
  trace: number
  /** The drop that it belongs to; null where none fits. */
  drop: string | null
  tank: string | null
  /** 1 from the begin of records, one more with each adjustment of the tank. */
  run: number | null
  /** Seconds from the start of flow. */
  t_s: number
  level_gal: number
  /** From start to end of flow by the fitted curve, s; without it the time is read off the samples. */
  evacuation_s?: number | null
}

/** Releases laid over one another: level against time, each from the start of its flow. */
export const traceOverlay: Chart<TraceRow> = {
  name: 'trace-overlay',
  columns: [
    { name: 'trace', label: 'trace' },
    { name: 'drop', label: 'drop' },
    { name: 'tank', label: 'tank' },
    { name: 'run', label: 'run', measure: 'count' },
    { name: 't_s', label: 'time', measure: 'seconds', digits: 2 },
    { name: 'level_gal', label: 'level', measure: 'volume' },
  ],
  finding(rows) {
    const times = evacuations(rows)
    const middle = median([...times.values()])
    if (middle === null) return 'No release trace on these days'
    const byRun = runsOfOneTank(rows, times)
    if (byRun) return byRun
    const slowest = [...times].sort((a, b) => b[1] - a[1])[0]!
    return `Half of ${plural(times.size, 'release')} were out within ${figure(middle, 'seconds', 'us')} s; the slowest took ${figure(slowest[1], 'seconds', 'us')} s`
  },
  caption: (_rows, options) =>
    `Level in the tank, ${unitOf('volume', optionsOf(options).units)}, against seconds from the start of flow. A colour is a tank, or, of one tank, a run between adjustments.`,
  describe(rows, options) {
    const { units } = optionsOf(options)
    const top = rows.reduce((a, row) => Math.max(a, row.level_gal), 0)
    return `${plural(new Set(rows.map((row) => row.trace)).size, 'falling line')} from up to ${quantity(top, 'volume', units)}.`
  },
  draw(rows, size, options) {
    const { units } = optionsOf(options)
    const count = new Set(rows.map((row) => row.trace)).size
    const isOneTank = new Set(rows.map((row) => row.tank)).size === 1
    const group = (row: TraceRow): string => (isOneTank ? `run ${row.run ?? 1}` : (row.tank ?? 'no tank'))
    const groups = [...new Set(rows.map(group))]
    const colour = (row: TraceRow): string => lineColours[groups.indexOf(group(row)) % lineColours.length]!
    const names = groups.map((name) => rows.find((row) => group(row) === name)!)
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
          z: 'trace',
          stroke: colour,
          strokeOpacity: count > 12 ? 0.45 : 0.8,
          strokeWidth: 1.3,
          title: (row: TraceRow) => row.drop ?? `trace ${row.trace}`,
          ...(options.evidence
            ? { href: (row: TraceRow) => (row.drop ? options.evidence!('drop', row.drop) : null) }
            : {}),
        }),
        ...names.map((row, at) =>
          Plot.text([row], {
            frameAnchor: 'top-right',
            dy: at * 15,
            text: group,
            fill: colour,
            fontWeight: 600,
          }),
        ),
        Plot.ruleY([0], { stroke: muted }),
      ],
    })
  },
}

/** Before and after: what each run of one tank took, where there are two or more. */
function runsOfOneTank(rows: readonly TraceRow[], times: ReadonlyMap<number, number>): string | null {
  const runOf = new Map(rows.map((row) => [row.trace, row.run ?? 1]))
  const runs = [...new Set(runOf.values())].sort((a, b) => a - b)
  if (new Set(rows.map((row) => row.tank)).size !== 1 || runs.length < 2) return null
  const parts = runs.map((run) => {
    const own = [...times].filter(([trace]) => runOf.get(trace) === run).map(([, seconds]) => seconds)
    return `${figure(median(own), 'seconds', 'us')} s in run ${run} (${plural(own.length, 'release')})`
  })
  return `${rows[0]!.tank}: half were out within ${parts.join(', ')}`
}

/** The fitted time out; where there is none, seconds from the first point below 98 % of the fall to the first below 2 %: what the eye reads off the drawing, no more. */
function evacuations(rows: readonly TraceRow[]): Map<number, number> {
  const byTrace = new Map<number, TraceRow[]>()
  for (const row of rows) {
    const list = byTrace.get(row.trace) ?? []
    list.push(row)
    byTrace.set(row.trace, list)
  }
  const times = new Map<number, number>()
  for (const [trace, points] of byTrace) {
    const fitted = points[0]?.evacuation_s
    if (fitted) {
      times.set(trace, fitted)
      continue
    }
    const levels = points.map((point) => point.level_gal)
    const high = Math.max(...levels)
    const low = Math.min(...levels)
    const start = points.find((point) => point.level_gal < low + 0.98 * (high - low))
    const end = points.find((point) => point.level_gal <= low + 0.02 * (high - low))
    if (start && end && end.t_s > start.t_s) times.set(trace, end.t_s - start.t_s)
  }
  return times
}
