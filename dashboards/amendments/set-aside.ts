import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { type Row, textOf } from '../rows.ts'
import { lineNumber } from './line-number.ts'
import { signedDialog } from './signed-dialog.ts'

/** A button in the row of a line in quarantine: it holds nothing that the account lacks, and need not wait. */
export function setAsideButton(row: Row, context: Context): Child {
  const number = lineNumber(textOf(row.obs))
  if (number === null) return null
  const place = `line ${textOf(row.line)} of ${textOf(row.file).split('/').at(-1)}`
  return h(
    'button',
    {
      type: 'button',
      class: 'plain',
      id: `aside-${textOf(row.obs)}-${textOf(row.field)}`.replace(/[^\w-]/g, '_'),
      'aria-label': `Set aside ${place}`,
      onclick: () =>
        signedDialog(
          {
            title: `Set aside ${place}`,
            about: h(
              'p',
              {},
              'For a line that holds no event (a sum, a note), or one that was brought in another way since. It leaves this list and counts as superseded; should it become readable, it counts as any other line.',
            ),
            legend: 'Why does nothing of it belong in the account?',
            submit: 'Set it aside',
            fields: [],
            action: 'set-aside',
            payload: () => ({ obs_no: number }),
          },
          context,
        ),
    },
    'Set aside',
  )
}
