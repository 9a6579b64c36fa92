import type { Chart } from './chart.ts'
import { drawIntervals } from './intervals.ts'
import { blue, slate } from './palette.ts'
import { listed, plural } from './words.ts'

export interface OutcomeRow {
  group_name: string | null
  assessed: number
  met_fire: number
  interaction_rate: number | null
  interaction_low: number | null
  interaction_high: number | null
  effective: number
  not_effective: number
  success_rate: number | null
  success_low: number | null
  success_high: number | null
}

const percent = (value: number | null): string => (value === null ? '—' : `${Math.round(100 * value)} %`)
const few = 10

/** Share of effective drops with its Wilson 95 % interval; groups too small to speak are grey. */
export const outcomeIntervals: Chart<OutcomeRow> = {
  name: 'outcomes',
  columns: [
    { name: 'group_name', label: 'group' },
    { name: 'assessed', label: 'assessed', measure: 'count' },
    { name: 'met_fire', label: 'met fire', measure: 'count' },
    { name: 'interaction_rate', label: 'met fire', measure: 'share' },
    { name: 'effective', label: 'effective', measure: 'count' },
    { name: 'not_effective', label: 'not effective', measure: 'count' },
    { name: 'success_rate', label: 'effective', measure: 'share' },
    { name: 'success_low', label: 'low, 95 %', measure: 'share' },
    { name: 'success_high', label: 'high, 95 %', measure: 'share' },
  ],
  finding(rows) {
    const all = usable(rows)
    if (!all.length) return 'No assessed drop on these days'
    // Groups too small to speak, and those without a name, are drawn but not set against the others.
    const speaking = all.filter((row) => row.effective + row.not_effective >= few && label(row) !== 'unknown')
    const known = speaking.length > 1 ? speaking : all
    const [best] = known
    const last = known.at(-1)!
    if (known.length === 1 || best === last)
      return `${label(best!)}: ${percent(best!.success_rate)} of known outcomes were effective`
    return (last.success_high ?? 1) < (best!.success_low ?? 0)
      ? `${label(best!)} did better than ${label(last)}: ${percent(best!.success_rate)} against ${percent(last.success_rate)} effective`
      : `The intervals overlap: ${label(best!)} (${percent(best!.success_rate)}) cannot be told from ${label(last)} (${percent(last.success_rate)})`
  },
  caption: () =>
    `Effective / (effective + not effective), percent, Wilson 95 % interval. Grey: fewer than ${few} known.`,
  describe: (rows) =>
    `Dots with intervals: ${listed(usable(rows).map((row) => `${label(row)} ${percent(row.success_rate)} (${percent(row.success_low)} to ${percent(row.success_high)}) of ${plural(row.effective + row.not_effective, 'known outcome')}`))}.`,
  draw: (rows, size, options) =>
    drawIntervals(
      usable(rows).map((row) => ({
        label: label(row),
        value: row.success_rate!,
        low: row.success_low ?? row.success_rate!,
        high: row.success_high ?? row.success_rate!,
        colour: row.effective + row.not_effective < few ? slate : blue,
        note: `n ${row.effective + row.not_effective}`,
      })),
      size,
      options,
      { domain: [0, 1], format: percent },
    ),
}

const label = (row: OutcomeRow): string => row.group_name ?? 'not recorded'
const usable = (rows: readonly OutcomeRow[]): OutcomeRow[] =>
  rows.filter((row) => row.success_rate !== null).sort((a, b) => b.success_rate! - a.success_rate!)
