import { z } from 'zod'

const event = z.enum(['drop', 'load', 'flight', 'offload'])
const observation = z.number().int().nonnegative().max(Number.MAX_SAFE_INTEGER)
const observations = z.array(observation).min(1).max(10_000)
const name = z.string().trim().min(1).max(200)

/** What an amendment may do, each with what it needs. */
const payloads = {
  'set-field': z
    .strictObject({ obs_no: observation, kind: name, field: name, value: z.string().max(2000).nullable() })
    .describe('amends one field of one observation; value in canonical units or ISO 8601'),
  'set-aside': z
    .strictObject({ obs_no: observation })
    .describe('sets a line in quarantine aside: nothing in it is missing from the account'),
  exclude: z
    .strictObject({ kind: event, obs: observations })
    .describe('takes the record that these observations attest out of the account'),
  merge: z
    .strictObject({ kind: event, obs: observations.min(2) })
    .describe('says that these observations are of one event'),
  split: z
    .strictObject({ kind: event, obs: z.array(observations).min(2) })
    .describe('says that these groups of observations are of different events'),
  alias: z
    .strictObject({ kind: z.enum(['aircraft', 'tank', 'base', 'fire']), target: name, alias: name })
    .describe('gives a second name to an aircraft, tank, base or fire'),
  'finding-state': z
    .strictObject({ finding_id: name, state: z.enum(['open', 'accepted', 'resolved']) })
    .describe('sets the state of a finding'),
  'invoice-note': z
    .strictObject({
      contract: name,
      invoice: name,
      line: z.union([name, z.number().int()]).transform(String),
      state: z.enum(['agreed', 'disputed', 'credited']),
    })
    .describe('notes where an invoice line stands'),
  'reopen-season': z.strictObject({ season: name }).describe('opens a closed season again'),
  undo: z
    .strictObject({ amendment_no: z.number().int().positive() })
    .describe('takes an earlier amendment back'),
} as const

export type AmendmentAction = keyof typeof payloads

const who = {
  reason: z.string().trim().min(3, 'say why, in three letters or more').max(2000),
  by: z.string().trim().min(1, 'say who amends').max(200),
}

const forms = (Object.keys(payloads) as AmendmentAction[]).map((action) =>
  z
    .strictObject({ action: z.literal(action), payload: payloads[action], ...who })
    .describe(payloads[action].description!),
)

/** One correction by a person, with its reason and their name. */
export const amendmentSchema = z.discriminatedUnion('action', forms as unknown as [AnyForm, ...AnyForm[]])

type AnyForm = z.ZodObject<{
  action: z.ZodLiteral<AmendmentAction>
  payload: z.ZodType<Record<string, unknown>>
  reason: z.ZodString
  by: z.ZodString
}>

export type Amendment = {
  action: AmendmentAction
  payload: Record<string, unknown>
  reason: string
  by: string
}
