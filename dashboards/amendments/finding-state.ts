import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { type Row, textOf } from '../rows.ts'
import { option } from './sign.ts'
import { signedDialog } from './signed-dialog.ts'

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
      id: `decide-${id}`,
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
  signedDialog(
    {
      title: 'Decide on a finding',
      about: h('p', {}, message),
      legend: 'Decision',
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
      action: 'finding-state',
      payload: (data) => ({ finding_id: id, state: String(data.get('state')) }),
    },
    context,
  )
}
