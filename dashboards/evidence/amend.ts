import { Recording } from '../amendments/recording.ts'
import { option, signedForm } from '../amendments/sign.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { textOf } from '../rows.ts'
import { eventFields } from './fields.ts'
import { mergeForm } from './merge-form.ts'
import type { Evidence, Observation } from './types.ts'

const events = new Set(['drop', 'load', 'flight', 'offload'])

/** What a person may do to a canonical record. Nothing is edited in place: each is an amendment, with reason and name. */
export function amendForms(evidence: Evidence, context: Context, tell: (words: string) => void): Child {
  if (!events.has(evidence.kind) || !evidence.observations.length) return null
  // What is left out is taken back first: until then nothing else that is done to it would show.
  if (evidence.record.is_excluded === true) return null
  const recording = (): Recording =>
    new Recording(context, ({ number, changes }) => tell(`Recorded as amendment ${number}. ${changes}`))
  const { kind, observations } = evidence
  const numbers = observations.map((observation) => observation.obs_no)
  const forms: [string, Child][] = [
    ['Set a field', fieldForm(observations, recording())],
    ['Leave it out of the account', excludeForm(kind, numbers, recording())],
    ['Merge with another', mergeForm(evidence, context, recording())],
  ]
  if (observations.length > 1) forms.push(['Split into two', splitForm(kind, observations, recording())])
  return h(
    'section',
    { class: 'amend' },
    h('h3', {}, 'Amend'),
    forms.map(([title, form]) => h('details', { name: 'amend' }, h('summary', {}, title), form)),
  )
}

function excludeForm(kind: string, obs: readonly number[], recording: Recording): HTMLElement {
  return signedForm({
    title: 'The record is kept, marked, and counted nowhere',
    submit: 'Leave it out',
    fields: [],
    send: (_data, reason, by) => recording.send('exclude', { kind, obs }, reason, by),
    done: () => void recording.done(),
  })
}

function fieldForm(observations: readonly Observation[], recording: Recording): HTMLElement {
  const value = h('input', { name: 'value', autocomplete: 'off', placeholder: 'empty: not known' })
  const field = h('select', { name: 'field', onchange: () => suggest() })
  const which = h(
    'select',
    { name: 'obs', onchange: () => fill() },
    observations.map((observation) => option(String(observation.obs_no), lineText(observation))),
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
      recording.send(
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
    done: () => void recording.done(),
  })
}

function splitForm(kind: string, observations: readonly Observation[], recording: Recording): HTMLElement {
  return signedForm({
    title: 'The lines ticked become a record of their own',
    submit: 'Split',
    fields: observations.map((observation) =>
      h(
        'label',
        { class: 'tick' },
        h('input', { type: 'checkbox', name: 'apart', value: observation.obs_no }),
        lineText(observation),
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
      await recording.send('split', { kind, obs: groups }, reason, by)
    },
    done: () => void recording.done(),
  })
}

/** Which line it is: two of one witness may have the same number, in two files. */
function lineText({ witness, kind, line, file }: Observation): string {
  const name = file?.path.split('/').at(-1)
  return `${witness ?? kind}, line ${line ?? '?'}${name ? ` of ${name}` : ''}`
}
