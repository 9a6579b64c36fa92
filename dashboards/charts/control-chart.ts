import * as Plot from '@observablehq/plot'
import { dayText, timeText } from '../times.ts'
import { figure } from '../units.ts'
import { type Chart, optionsOf } from './chart.ts'
import { blue, ink, muted, oxide, rule, slate } from './palette.ts'
import { draw, narrow } from './plot.ts'
import { plural } from './words.ts'

export interface ControlRow {
  tank: string
  drop: string
  dropped_at: string
  /** (released − commanded) / commanded, percent. */
  error_pct: number | null
  ewma_pct: number | null
  limit_pct: number | null
  center_pct?: number | null
  /** The drop at which the mean crossed a limit. */
  is_alarm: boolean | null
  /** Most likely first drop of the change behind the alarm. */
  is_change?: boolean | null
  run?: number | null
}

interface Point extends ControlRow {
  index: number
}

/** Setting error drop by drop (dots), its exponentially weighted mean (line) and the limits of what chance explains. */
export const controlChart: Chart<ControlRow> = {
  name: 'control-chart',
  columns: [
    { name: 'tank', label: 'tank' },
    { name: 'drop', label: 'drop' },
    { name: 'dropped_at', label: 'dropped', measure: 'time' },
    { name: 'error_pct', label: 'setting error', measure: 'percent' },
    { name: 'ewma_pct', label: 'EWMA', measure: 'percent' },
    { name: 'limit_pct', label: 'limit', measure: 'percent' },
  ],
  finding(rows, options) {
    const { zone } = optionsOf(options)
    const alarm = rows.find((row) => row.is_alarm)
    const [first] = rows
    if (!first) return 'No measured drop on these days'
    if (!alarm) return `${first.tank} kept within its limits over ${plural(rows.length, 'measured drop')}`
    const day = (row: ControlRow): string => dayText(timeText(row.dropped_at, zone).slice(0, 10))
    const change = rows.find((row) => row.is_change)
    const since = change ? `; the change most likely began on ${day(change)}` : ''
    const back = backWithin(rows)
    const after = back >= enoughBack ? `; back within them for ${plural(back, 'drop')}` : ''
    return `${alarm.tank} left its limits on ${day(alarm)}, at ${figure(alarm.ewma_pct, 'percent', 'us')} %${since}${after}`
  },
  caption: () => 'Setting error of each measured drop, percent of the setting; line: EWMA; band: limits.',
  describe(rows) {
    const alarms = rows.filter((row) => row.is_alarm).length
    return `${plural(rows.length, 'drop')} in order of time; ${alarms ? `${plural(alarms, 'point')} outside the limits` : 'none outside the limits'}; last EWMA ${figure(rows.at(-1)?.ewma_pct, 'percent', 'us')} %.`
  },
  draw(rows, size, options) {
    const points: Point[] = rows.map((row, index) => ({ ...row, index: index + 1 }))
    const centre = (row: ControlRow): number => row.center_pct ?? 0
    const alarms = points.filter((row) => row.is_alarm)
    const starts = points.filter((row, index) => index > 0 && row.run !== points[index - 1]!.run)
    return draw({ width: size.width, height: size.height ?? 250 }, options, {
      marginLeft: 44,
      marginRight: 20,
      marginTop: 16,
      marginBottom: 34,
      x: {
        label: 'measured drops, in order',
        labelAnchor: 'center',
        labelArrow: 'none',
        ticks: narrow(size) ? 4 : 8,
      },
      y: { grid: true, label: null, tickFormat: (value: number) => `${value}%`.replace('-', '−'), ticks: 5 },
      marks: [
        Plot.areaY(
          points.filter((row) => row.limit_pct !== null),
          {
            x: 'index',
            y1: (row: Point) => centre(row) - row.limit_pct!,
            y2: (row: Point) => centre(row) + row.limit_pct!,
            fill: rule,
            fillOpacity: 0.55,
            z: 'run',
            curve: 'step',
          },
        ),
        Plot.ruleY([0], { stroke: muted }),
        Plot.dot(
          points.filter((row) => row.error_pct !== null),
          {
            x: 'index',
            y: 'error_pct',
            r: 2.2,
            fill: slate,
            fillOpacity: 0.6,
            title: (row: Point) => `${row.drop}: ${figure(row.error_pct, 'percent', 'us')} %`,
            ...(options.evidence ? { href: (row: Point) => options.evidence!('drop', row.drop) } : {}),
          },
        ),
        Plot.line(
          points.filter((row) => row.ewma_pct !== null),
          { x: 'index', y: 'ewma_pct', z: 'run', stroke: blue, strokeWidth: 1.8 },
        ),
        Plot.dot(alarms, {
          x: 'index',
          y: 'ewma_pct',
          r: 4.5,
          symbol: 'diamond',
          fill: oxide,
          title: (row: Point) => `Outside the limits: ${row.drop}`,
          ...(options.evidence ? { href: (row: Point) => options.evidence!('drop', row.drop) } : {}),
        }),
        Plot.ruleX(
          points.filter((row) => row.is_change),
          { x: 'index', stroke: oxide, strokeDasharray: '1,3' },
        ),
        Plot.ruleX(starts, { x: 'index', stroke: ink, strokeDasharray: '3,3' }),
        Plot.text(starts, {
          x: 'index',
          frameAnchor: 'top',
          dx: 4,
          textAnchor: 'start',
          fill: ink,
          fontSize: 10,
          text: () => 'adjusted',
        }),
      ],
    })
  },
}

/** Fewer than these could be chance. */
const enoughBack = 20

/** Drops at the end of the last run, and after its alarm, whose mean lay within the limits without a break. */
function backWithin(rows: readonly ControlRow[]): number {
  const last = rows.at(-1)
  let count = 0
  for (let at = rows.length - 1; at >= 0; at--) {
    const row = rows[at]!
    if (row.run !== last?.run || row.is_alarm || row.ewma_pct === null || row.limit_pct === null) break
    if (Math.abs(row.ewma_pct - (row.center_pct ?? 0)) > row.limit_pct) break
    count++
  }
  return rows.some((row) => row.is_alarm && row.run === last?.run) ? count : 0
}
