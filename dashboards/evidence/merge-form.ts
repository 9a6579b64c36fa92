import type { Filters } from '../address.ts'
import type { Recording } from '../amendments/recording.ts'
import { option, signedForm } from '../amendments/sign.ts'
import type { Context } from '../context.ts'
import { h } from '../h.ts'
import { numberOf, type Row, textOf } from '../rows.ts'
import { timeText } from '../times.ts'
import { quantity } from '../units.ts'
import type { Evidence } from './types.ts'

/** The question that lists the records of a kind, and which column is their time. */
const lists: Readonly<Record<string, readonly [query: string, time: string]>> = {
  drop: ['drops', 'dropped_at'],
  load: ['loads', 'loaded_at'],
  flight: ['flights', 'off_at'],
}
const most = 12
const byName = 'by name'
const dayMs = 86_400_000

/** Says that two records are one event: the other is one of the nearest in time of the same aircraft, or is named. */
export function mergeForm(evidence: Evidence, context: Context, recording: Recording): HTMLElement {
  const { kind, observations } = evidence
  const name = h('input', {
    name: 'other',
    required: true,
    placeholder: `${kind.charAt(0).toUpperCase()}-…`,
    autocomplete: 'off',
  })
  const named = h('label', {}, `The name of the other ${kind}`, name)
  const near = h('select', { name: 'near', onchange: () => show() })
  const nearest = h('label', { hidden: true }, `The other ${kind}`, near)
  function show(): void {
    named.hidden = near.value !== byName
    name.required = !named.hidden
  }
  const form = signedForm({
    title: 'The two records are one event',
    submit: 'Merge',
    fields: [nearest, named],
    async send(data, reason, by) {
      const id = named.hidden ? near.value : String(data.get('other')).trim()
      const other = await context.api.evidence<Evidence>(kind, id)
      const obs = [...observations, ...other.observations].map((observation) => observation.obs_no)
      await recording.send('merge', { kind, obs }, reason, by)
    },
    done: () => void recording.done(),
  })
  void neighbours(evidence, context)
    .then((rows) => {
      if (!rows.length) return
      near.required = true
      near.replaceChildren(
        option('', 'choose one'),
        ...rows.map((row) => option(textOf(row[kind]), told(row, evidence, context))),
        option(byName, 'another, by its name'),
      )
      nearest.hidden = false
      show()
    })
    .catch(() => undefined)
  return form
}

/** Records of the same aircraft within a day, the nearest in time first. */
async function neighbours(evidence: Evidence, context: Context): Promise<Row[]> {
  const { kind, id, record } = evidence
  const [query, time] = lists[kind] ?? ['', '']
  const at = Date.parse(textOf(record[time]))
  if (!context.api.has(query) || Number.isNaN(at) || !record.aircraft) return []
  const day = (shift: number): string => new Date(at + shift * dayMs).toISOString().slice(0, 10)
  const filters: Filters = { aircraft: textOf(record.aircraft), from: day(-1), to: day(1) }
  const rows = await context.api.query<Row>(query, filters)
  const apart = (row: Row): number => Math.abs(Date.parse(textOf(row[time])) - at)
  return rows
    .filter((row) => row[kind] !== id && apart(row) <= dayMs)
    .sort((a, b) => apart(a) - apart(b) || textOf(a[kind]).localeCompare(textOf(b[kind])))
    .slice(0, most)
}

/** `2026-06-01 16:24 UTC, 355 gal, crew`. */
function told(row: Row, { kind }: Evidence, context: Context): string {
  const { zone, units } = context.address
  const volume = numberOf(row.volume_gal)
  return [
    `${timeText(textOf(row[lists[kind]![1]]), zone)} ${zone}`,
    volume === null ? '' : quantity(volume, 'volume', units),
    textOf(row.witnesses).replaceAll('; ', ' and '),
  ]
    .filter(Boolean)
    .join(', ')
}
