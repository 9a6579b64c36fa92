import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { openDialog } from './dialog.ts'
import { Recording } from './recording.ts'
import { signedForm } from './sign.ts'

export interface SignedDialog {
  readonly title: string
  /** What stands above the form. */
  readonly about?: Child
  readonly legend: string
  readonly submit: string
  readonly fields: readonly Child[]
  readonly action: string
  /** What the amendment does; throws a text the reader can act on when a field is not right. */
  payload(data: FormData): Record<string, unknown>
}

/** An amendment in a dialog: signed, sent, and answered with its number and with what it changed. Refusals stand in the form. */
export function signedDialog(spec: SignedDialog, context: Context): void {
  openDialog(spec.title, (close) => {
    const outcome = h('div', { class: 'outcome', role: 'status' })
    const recording = new Recording(context, ({ number, changes }) => {
      const button = h('button', { type: 'button', class: 'plain', onclick: close }, 'Close')
      form.remove()
      outcome.replaceChildren(
        h('p', {}, `Recorded as amendment ${number}.`),
        h('p', { class: 'units' }, changes),
        button,
      )
      button.focus()
    })
    const form = signedForm({
      title: spec.legend,
      submit: spec.submit,
      fields: spec.fields,
      send: async (data, reason, by) => recording.send(spec.action, spec.payload(data), reason, by),
      done: () => void recording.done(),
    })
    return [spec.about ?? null, form, outcome]
  })
}
