import { type Row, textOf } from '../rows.ts'
import { lineName } from './line-number.ts'

type Payload = Readonly<Record<string, unknown>>

/** What each action does, in words. */
const texts: Readonly<Record<string, (payload: Payload) => string>> = {
  'set-field': ({ kind, field, value }) => `${kind}: ${field} is ${value ?? 'not known'}`,
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

const lines = (obs: unknown): string => `${Array.isArray(obs) ? obs.length : 0} lines`

export function amendmentText(row: Row): string {
  const say = texts[textOf(row.action)]
  try {
    return say ? say(JSON.parse(textOf(row.payload)) as Payload) : textOf(row.action)
  } catch {
    return textOf(row.action)
  }
}
