import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { openDialog } from './dialog.ts'
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
  const { api } = context
  openDialog(spec.title, (close) => {
    const outcome = h('div', { class: 'outcome', role: 'status' })
    let number = 0
    let before: Record<string, number> = {}
    const form = signedForm({
      title: spec.legend,
      submit: spec.submit,
      fields: spec.fields,
      async send(data, reason, by) {
        const payload = spec.payload(data)
        before = (await api.standing()).counts
        number = await api.amend(spec.action, payload, reason, by)
      },
      done: () => void tell(),
    })
    async function tell(): Promise<void> {
      const after = await api.standing().catch(() => null)
      const button = h('button', { type: 'button', class: 'plain', onclick: close }, 'Close')
      form.remove()
      outcome.replaceChildren(
        h('p', {}, `Recorded as amendment ${number}.`),
        h('p', { class: 'units' }, after ? changesBetween(before, after.counts) : ''),
        button,
      )
      button.focus()
    }
    return [spec.about ?? null, form, outcome]
  })
}

const counted: readonly (readonly [string, string])[] = [
  ['quarantined', 'rows in quarantine'],
  ['findings', 'open findings'],
  ['drops', 'drops'],
  ['loads', 'loads'],
  ['flights', 'flights'],
]

/** `Rows in quarantine 2 → 0; open findings 93 → 91.` */
export function changesBetween(
  before: Readonly<Record<string, number>>,
  after: Readonly<Record<string, number>>,
): string {
  const changes = counted
    .filter(([name]) => before[name] !== undefined && before[name] !== after[name])
    .map(
      ([name, label]) =>
        `${label} ${before[name]!.toLocaleString('en-US')} → ${(after[name] ?? 0).toLocaleString('en-US')}`,
    )
  if (!changes.length) return 'The counts of records, quarantine and findings stand as they were.'
  const text = changes.join('; ')
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`
}
