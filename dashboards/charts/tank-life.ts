import * as Plot from '@observablehq/plot'
import { dayText, timeText } from '../times.ts'
import { type Chart, type ChartOptions, optionsOf } from './chart.ts'
import { clip } from './clip.ts'
import { blue, ink, muted, ochre, oxide, paper, rule, slate, violet } from './palette.ts'
import { draw, narrow } from './plot.ts'
import { listed, plural } from './words.ts'

export interface LifeRow {
  tank: string
  /** mounting, fitting, work, adjustment, emergency-release, overfill, baseline, extension, or finding. */
  what: string
  item: string
  kind: string | null
  position: string | null
  aircraft: string | null
  from_at: string
  to_at: string | null
  openings: number | null
  detail: string | null
  evidence: string | null
}

/** How a moment is marked: a shape of its own, so that nothing rests on colour. */
const marks: Readonly<Record<string, readonly [symbol: string, sign: string, colour: string]>> = {
  work: ['square', '■', ink],
  adjustment: ['diamond', '◆', violet],
  'emergency-release': ['triangle', '▲', oxide],
  overfill: ['circle', '●', blue],
  baseline: ['plus', '＋', slate],
  extension: ['star', '★', ochre],
  finding: ['times', '✕', oxide],
}

/** The life of a tank on one time line: airframes, the component in each place, and what was done and happened. */
export const tankLife: Chart<LifeRow> = {
  name: 'tank-life',
  columns: [
    { name: 'what', label: 'what' },
    { name: 'item', label: 'item' },
    { name: 'kind', label: 'kind' },
    { name: 'position', label: 'position' },
    { name: 'aircraft', label: 'aircraft' },
    { name: 'from_at', label: 'from', measure: 'time' },
    { name: 'to_at', label: 'to', measure: 'time' },
    { name: 'openings', label: 'openings', measure: 'count' },
    { name: 'detail', label: 'detail' },
  ],
  finding(rows) {
    const mounted = rows.filter((row) => row.what === 'mounting')
    const airframes = [...new Set(mounted.map((row) => row.aircraft ?? 'unknown'))]
    const swaps = swapsIn(rows)
    const last = mounted.at(-1)
    const where = last
      ? last.to_at
        ? `off ${last.aircraft} since ${dayText(last.to_at, true)}`
        : `on ${last.aircraft}`
      : ''
    if (!rows.length) return 'Nothing is on record of this tank'
    return `${rows[0]!.tank} has served ${airframes.length ? listed(airframes) : 'no airframe'}${where ? ` (${where})` : ''}; ${plural(swaps, 'component swap')}`
  },
  caption: (rows, options) =>
    `Bars: who was where, times in ${optionsOf(options).zone}; the number in a bar counts the tank’s openings in that time. ${Object.entries(
      marks,
    )
      .filter(([what]) => rows.some((row) => row.what === what))
      .map(([what, [, sign]]) => `${sign} ${what.replace('-', ' ')}`)
      .join('   ')}`,
  describe(rows, options) {
    const { zone } = optionsOf(options)
    const spans = rows.filter((row) => row.what === 'mounting')
    return `Time line with ${plural(lanesOf(rows).length, 'lane')}. Mounted ${
      spans
        .map(
          (row) =>
            `on ${row.aircraft} from ${timeText(row.from_at, zone)} to ${row.to_at ? timeText(row.to_at, zone) : 'now'}`,
        )
        .join('; ') || 'nowhere'
    }. ${plural(rows.filter((row) => row.what === 'work').length, 'piece of work', 'pieces of work')}.`
  },
  draw(rows, size, options) {
    const lanes = lanesOf(rows)
    const left = narrow(size) ? 118 : 178
    const moments = rows.flatMap((row) => [row.from_at, row.to_at]).filter((at): at is string => at !== null)
    const end = moments.sort().at(-1)
    const until = end ? new Date(new Date(end).getTime() + 5 * 864e5) : new Date()
    const spans = rows.filter((row) => row.what === 'mounting' || row.what === 'fitting')
    const points = rows.filter((row) => marks[row.what])
    const wide = (row: LifeRow): boolean =>
      days(row, until) * pixelsPerDay(rows, until, size.width - left - 16) > 62
    const href = (row: LifeRow): string | null => linkOf(row, options)
    const links = options.evidence ? { href: href as (row: LifeRow) => string } : {}
    return draw({ width: size.width, height: 46 + lanes.length * 21 }, options, {
      marginLeft: left,
      marginRight: 16,
      marginTop: 34,
      marginBottom: 8,
      x: {
        type: 'utc',
        axis: 'top',
        label: null,
        grid: true,
        ticks: narrow(size) ? 3 : 8,
        domain: [firstOf(rows, until), until],
      },
      y: { domain: lanes, axis: null },
      symbol: {
        domain: Object.values(marks).map(([symbol]) => symbol),
        range: Object.values(marks).map(([symbol]) => symbol) as never,
      },
      marks: [
        Plot.barX(spans, {
          x1: (row: LifeRow) => new Date(row.from_at),
          x2: (row: LifeRow) => (row.to_at ? new Date(row.to_at) : until),
          y: laneOf,
          fill: (row: LifeRow) => (row.what === 'mounting' ? blue : slate),
          fillOpacity: (row: LifeRow) => (isOdd(row, spans) ? 0.42 : 0.22),
          insetTop: 2.5,
          insetBottom: 2.5,
          insetLeft: 0.5,
          insetRight: 0.5,
          title: spanTitle,
          ...links,
        }),
        Plot.text(spans.filter(wide), {
          x: (row: LifeRow) => new Date(row.from_at),
          y: laneOf,
          dx: 5,
          textAnchor: 'start',
          fontSize: 10.5,
          fill: ink,
          pointerEvents: 'none',
          text: (row: LifeRow) =>
            clip(
              nameOf(row),
              Math.max(
                5,
                Math.floor((days(row, until) * pixelsPerDay(rows, until, size.width - left - 16) - 34) / 6),
              ),
            ),
        }),
        Plot.text(spans.filter(wide), {
          x: (row: LifeRow) => (row.to_at ? new Date(row.to_at) : until),
          y: laneOf,
          dx: -5,
          textAnchor: 'end',
          fontSize: 10,
          fill: muted,
          pointerEvents: 'none',
          text: (row: LifeRow) => (row.openings ? String(row.openings) : ''),
        }),
        Plot.dot(points, {
          x: (row: LifeRow) => new Date(row.from_at),
          y: laneOf,
          symbol: (row: LifeRow) => marks[row.what]![0],
          fill: (row: LifeRow) =>
            ['plus', 'times'].includes(marks[row.what]![0]) ? 'none' : marks[row.what]![2],
          stroke: (row: LifeRow) =>
            ['plus', 'times'].includes(marks[row.what]![0]) ? marks[row.what]![2] : paper,
          strokeWidth: (row: LifeRow) => (['plus', 'times'].includes(marks[row.what]![0]) ? 2 : 0.8),
          r: 4.6,
          title: momentTitle,
          ...links,
        }),
        Plot.text(lanes, {
          y: (lane: string) => lane,
          frameAnchor: 'left',
          dx: -8,
          textAnchor: 'end',
          fill: ink,
          text: (lane: string) => clip(lane, narrow(size) ? 19 : 28),
        }),
        Plot.frame({ anchor: 'left', stroke: rule }),
      ],
    })
  },
}

/** One lane for airframes, one for what concerns the whole tank, one for each place and kind of component. */
function laneOf(row: LifeRow): string {
  if (row.what === 'mounting') return 'airframe'
  if (row.item === row.tank || !row.position) return 'the tank'
  const kind = row.kind ?? ''
  const place = row.position.replace(/-\d+$/, '')
  if (place === kind.replaceAll(' ', '-')) return row.position
  return kind.startsWith(place) ? kind : `${row.position} ${kind}`.trim()
}

function lanesOf(rows: readonly LifeRow[]): string[] {
  const lanes = [...new Set(rows.map(laneOf))].sort((a, b) => a.localeCompare(b, 'en', { numeric: true }))
  const first = ['airframe', 'the tank'].filter((lane) => lanes.includes(lane))
  return [...first, ...lanes.filter((lane) => !first.includes(lane))]
}

/** Places in which one component followed another. */
const swapsIn = (rows: readonly LifeRow[]): number => {
  const fitted = new Map<string, number>()
  for (const row of rows)
    if (row.what === 'fitting') fitted.set(laneOf(row), (fitted.get(laneOf(row)) ?? 0) + 1)
  return [...fitted.values()].reduce((sum, count) => sum + count - 1, 0)
}

const isOdd = (row: LifeRow, spans: readonly LifeRow[]): boolean =>
  spans.filter((one) => laneOf(one) === laneOf(row) && one.from_at < row.from_at).length % 2 === 1
const nameOf = (row: LifeRow): string => (row.what === 'mounting' ? (row.aircraft ?? '') : row.item)
const days = (row: LifeRow, until: Date): number =>
  ((row.to_at ? new Date(row.to_at) : until).getTime() - new Date(row.from_at).getTime()) / 864e5

function firstOf(rows: readonly LifeRow[], until: Date): Date {
  const first = Math.min(until.getTime() - 864e5, ...rows.map((row) => new Date(row.from_at).getTime()))
  return new Date(first)
}

const pixelsPerDay = (rows: readonly LifeRow[], until: Date, width: number): number =>
  width / Math.max(1, (until.getTime() - firstOf(rows, until).getTime()) / 864e5)

const spanTitle = (row: LifeRow): string =>
  `${nameOf(row)}${row.what === 'fitting' ? `, ${row.kind} at ${row.position}` : ''}: ${dayText(row.from_at, true)} to ${row.to_at ? dayText(row.to_at, true) : 'now'}, ${plural(row.openings ?? 0, 'opening')} of the tank`
const momentTitle = (row: LifeRow): string =>
  `${row.what.replace('-', ' ')}, ${row.item}, ${dayText(row.from_at, true)}${row.detail ? `: ${row.detail}` : ''}`

function linkOf(row: LifeRow, options: ChartOptions): string | null {
  const [kind, ...rest] = (row.evidence ?? '').split(':')
  return kind && rest.length && options.evidence ? options.evidence(kind, rest.join(':')) : null
}
