import { option, signedForm } from '../amendments/sign.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { textOf } from '../rows.ts'
import { eventFields } from './fields.ts'
import { mergeForm } from './merge-form.ts'
import type { Evidence, Observation } from './types.ts'

const events = new Set(['drop', 'load', 'flight', 'offload'])

/** What a person may do to a canonical record. Nothing is edited in place: each is an amendment, with reason and name. */
export function amendForms(evidence: Evidence, context: Context): Child {
  if (!events.has(evidence.kind) || !evidence.observations.length) return null
  const done = (): void => undefined
  const { kind, observations } = evidence
  const numbers = observations.map((observation) => observation.obs_no)
  const forms: [string, Child][] = [
    ['Set a field', fieldForm(observations, context, done)],
    [
      'Leave it out of the account',
      signedForm({
        title: 'The record is kept, marked, and counted nowhere',
        submit: 'Leave it out',
        fields: [],
        send: (_data, reason, by) => context.api.amend('exclude', { kind, obs: numbers }, reason, by),
        done,
      }),
    ],
    ['Merge with another', mergeForm(evidence, context, done)],
  ]
  if (observations.length > 1) forms.push(['Split into two', splitForm(kind, observations, context, done)])
  return h(
    'section',
    { class: 'amend' },
    h('h3', {}, 'Amend'),
    forms.map(([title, form]) => h('details', { name: 'amend' }, h('summary', {}, title), form)),
  )
}

function fieldForm(observations: readonly Observation[], context: Context, done: () => void): HTMLElement {
  const value = h('input', { name: 'value', autocomplete: 'off', placeholder: 'empty: not known' })
  const field = h('select', { name: 'field', onchange: () => suggest() })
  const which = h(
    'select',
    { name: 'obs', onchange: () => fill() },
    observations.map((observation) =>
      option(
        String(observation.obs_no),
        `${observation.witness ?? observation.kind}, line ${observation.line ?? '?'}`,
      ),
    ),
  )
  const chosen = (): Observation =>
    observations.find((observation) => String(observation.obs_no) === which.value) ?? observations[0]!
  function fill(): void {
    field.replaceChildren(
      ...(eventFields[chosen().kind] ?? Object.keys(chosen().values)).map((name) =>
        option(name, name.replaceAll('_', ' ')),
      ),
    )
    suggest()
  }
  function suggest(): void {
    value.defaultValue = textOf(chosen().values[field.value] ?? null)
    value.value = value.defaultValue
  }
  fill()
  return signedForm({
    title: 'In canonical units (gal, ft, kt) and UTC',
    submit: 'Set the field',
    fields: [h('label', {}, 'Line', which), h('label', {}, 'Field', field), h('label', {}, 'Value', value)],
    send: (data, reason, by) =>
      context.api.amend(
        'set-field',
        {
          obs_no: chosen().obs_no,
          kind: chosen().kind,
          field: String(data.get('field')),
          value: String(data.get('value')).trim() || null,
        },
        reason,
        by,
      ),
    done,
  })
}

function splitForm(
  kind: string,
  observations: readonly Observation[],
  context: Context,
  done: () => void,
): HTMLElement {
  return signedForm({
    title: 'The lines ticked become a record of their own',
    submit: 'Split',
    fields: observations.map((observation) =>
      h(
        'label',
        { class: 'tick' },
        h('input', { type: 'checkbox', name: 'apart', value: observation.obs_no }),
        `${observation.witness ?? observation.kind}, line ${observation.line ?? '?'}`,
      ),
    ),
    async send(data, reason, by) {
      const apart = new Set(data.getAll('apart').map(Number))
      const groups = [
        observations.filter((one) => !apart.has(one.obs_no)),
        observations.filter((one) => apart.has(one.obs_no)),
      ].map((group) => group.map((one) => one.obs_no))
      if (groups.some((group) => !group.length))
        throw new Error('Tick at least one line, and leave at least one.')
      await context.api.amend('split', { kind, obs: groups }, reason, by)
    },
    done,
  })
}
