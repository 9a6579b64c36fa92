import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { type Row, textOf } from '../rows.ts'
import { openDialog } from './dialog.ts'
import { option, signedForm } from './sign.ts'

/** Accept, resolve or re-open a finding: a button in its row. */
export function findingActions(row: Row, context: Context): Child {
  const id = textOf(row.finding_id)
  if (!id) return null
  const state = textOf(row.state) || 'open'
  const subject = `${textOf(row.finding)} ${textOf(row.subject)}`
  return h(
    'button',
    {
      type: 'button',
      class: 'plain',
      'aria-label': `Decide on ${subject}`,
      onclick: () => decide(id, state, textOf(row.message), context),
    },
    'Decide',
  )
}

function decide(id: string, state: string, message: string, context: Context): void {
  const choices = [
    ['accepted', 'Accepted: known, and stands'],
    ['resolved', 'Resolved: the cause is cured'],
    ['open', 'Open again'],
  ].filter(([value]) => value !== state)
  openDialog('Decide on a finding', (close) => [
    h('p', {}, message),
    signedForm({
      title: 'Decision',
      submit: 'Record the decision',
      fields: [
        h(
          'label',
          {},
          'State',
          h(
            'select',
            { name: 'state' },
            choices.map(([value, label]) => option(value!, label!)),
          ),
        ),
      ],
      send: (data, reason, by) =>
        context.api.amend('finding-state', { finding_id: id, state: String(data.get('state')) }, reason, by),
      done: close,
    }),
  ])
}
