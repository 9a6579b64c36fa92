import { Problem } from '../api.ts'
import { type Child, h } from '../h.ts'

const nameKey = 'gallonage-name'
/** Letters of a reason that are kept. */
const mostOfReason = 2000

export interface SignedForm {
  readonly title: string
  readonly submit: string
  readonly fields: readonly Child[]
  /** What is sent; throws a text the reader can act on when a field is not right. */
  send(data: FormData, reason: string, by: string): Promise<unknown>
  done(): void
}

/** A form that nothing passes without a reason and a name. The name is kept for the next one, on this machine. */
export function signedForm(spec: SignedForm): HTMLFormElement {
  const message = h('p', { class: 'message', role: 'status' })
  const button = h('button', { type: 'submit' }, spec.submit)
  const form = h(
    'form',
    {
      class: 'signed',
      onsubmit: (event) => void submit(event),
      oninput: () => form.removeAttribute('data-sent'),
    },
    h(
      'fieldset',
      {},
      h('legend', {}, spec.title),
      spec.fields,
      h('label', {}, 'Reason', h('input', { name: 'reason', required: true, autocomplete: 'off' })),
      h(
        'label',
        {},
        'Your name',
        h('input', {
          name: 'by',
          required: true,
          maxlength: 80,
          autocomplete: 'name',
          value: localStorage.getItem(nameKey) ?? '',
        }),
      ),
    ),
    h('div', { class: 'row' }, button, message),
  )

  async function submit(event: Event): Promise<void> {
    event.preventDefault()
    const data = new FormData(form)
    const reason = String(data.get('reason') ?? '').trim()
    const by = String(data.get('by') ?? '').trim()
    if (!reason || !by) {
      message.textContent = 'A reason and a name are needed.'
      return
    }
    // Cutting off what is pasted would lose it unseen.
    if (reason.length > mostOfReason) {
      message.textContent = `The reason has ${reason.length.toLocaleString('en-US')} letters; ${mostOfReason.toLocaleString('en-US')} fit.`
      return
    }
    localStorage.setItem(nameKey, by)
    button.disabled = true
    message.textContent = 'Recording…'
    try {
      await spec.send(data, reason, by)
      message.textContent = 'Recorded.'
      form.dataset.sent = 'yes'
      spec.done()
    } catch (error) {
      message.textContent =
        error instanceof Problem ? error.words : String(error instanceof Error ? error.message : error)
    } finally {
      button.disabled = false
    }
  }
  return form
}

export const option = (value: string, label = value): HTMLOptionElement => h('option', { value }, label)
