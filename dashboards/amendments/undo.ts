import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { type Row, textOf } from '../rows.ts'
import { amendmentText } from './amendment-text.ts'
import { signedDialog } from './signed-dialog.ts'

/**
 * Taking an amendment back: a button in its row. What took another back, or opened a season, is not taken back itself.
 * @param place begins the identifier where a page may hold the button twice.
 */
export function undoButton(row: Row, context: Context, place = ''): Child {
  const number = Number(row.amendment_no)
  if (row.undone_by !== null && row.undone_by !== undefined) return `undone by ${textOf(row.undone_by)}`
  if (row.action === 'undo' || row.action === 'reopen-season') return null
  return h(
    'button',
    {
      type: 'button',
      class: 'plain',
      id: `undo-${place}${number}`,
      'aria-label': `Undo amendment ${number}`,
      onclick: () =>
        signedDialog(
          {
            title: `Undo amendment ${number}`,
            about: h('p', {}, `${amendmentText(row)}; ${textOf(row.made_by)}: ${textOf(row.reason)}`),
            legend: 'Take it back',
            submit: 'Undo it',
            fields: [],
            action: 'undo',
            payload: () => ({ amendment_no: number }),
          },
          context,
        ),
    },
    'Undo',
  )
}
