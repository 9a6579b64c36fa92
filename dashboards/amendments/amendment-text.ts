import { plural } from '../charts/words.ts'
import { type Row, textOf } from '../rows.ts'
import { lineName } from './line-number.ts'

type Payload = Readonly<Record<string, unknown>>

/** What each action does, in words. */
const texts: Readonly<Record<string, (payload: Payload) => string>> = {
  'set-field': ({ kind, field, value }) => `${kind}: ${fieldWords(String(field), value)}`,
  'set-aside': ({ obs_no }) => `line ${lineName(Number(obs_no))} is set aside`,
  exclude: ({ kind, obs }) => `a ${kind} is left out (${lines(obs)})`,
  merge: ({ kind, obs }) => `${lines(obs)} are one ${kind}`,
  split: ({ kind, obs }) => `${kind}: ${Array.isArray(obs) ? obs.length : 0} events, not one`,
  alias: ({ kind, target, alias }) => `${kind} ${target} is also called ${alias}`,
  'finding-state': ({ finding_id, state }) => `finding ${String(finding_id).slice(0, 8)} is ${state}`,
  'invoice-note': ({ invoice, line, contract, state }) =>
    `invoice ${invoice} line ${line} of ${contract} is ${state}`,
  'reopen-season': ({ season }) => `season ${season} is open again`,
  undo: ({ amendment_no }) => `takes back amendment ${amendment_no}`,
}

const lines = (obs: unknown): string => plural(Array.isArray(obs) ? obs.length : 0, 'line')

/** `volume is 350 gal`: the unit stands behind the value, not in the name. */
function fieldWords(field: string, value: unknown): string {
  const [, name = field, unit = ''] = /^(.+)_(gal|ft|kt|s)$/.exec(field) ?? []
  const words = name.replaceAll('_', ' ')
  return value === null || value === undefined
    ? `${words} is not known`
    : `${words} is ${value}${unit ? ` ${unit}` : ''}`
}

export function amendmentText(row: Row): string {
  const say = texts[textOf(row.action)]
  const payload = payloadOf(row)
  return say && payload ? say(payload) : textOf(row.action)
}

/** What it is about, as references that open: the lines, which lead to their record even when no list shows it; a name; an invoice line. */
export function amendedRefs(row: Row): string[] {
  const { obs, obs_no, kind, target, contract, invoice, line, finding_id } = payloadOf(row) ?? {}
  if (invoice) return [`invoice-line:${contract}/${invoice}/${line}`]
  if (finding_id) return [`finding:${finding_id}`]
  if (target) return [`${kind}:${target}`]
  return [obs_no ?? obs ?? []].flat(2).map((number) => `obs:${number}`)
}

function payloadOf(row: Row): Payload | null {
  try {
    return JSON.parse(textOf(row.payload)) as Payload
  } catch {
    return null
  }
}
