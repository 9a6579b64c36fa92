type Field = HTMLInputElement | HTMLSelectElement

/** What was written in the forms of a record and not sent, by the record: closing it, or going elsewhere, loses nothing. */
export class Drafts {
  private readonly kept = new Map<string, readonly (readonly [form: number, name: string, value: string])[]>()

  keep(reference: string, element: HTMLElement): void {
    if (!reference) return
    const written = formsOf(element).flatMap((form, at) =>
      isWrittenIn(form) ? fieldsOf(form).map((field) => [at, nameOf(field), textIn(field)] as const) : [],
    )
    if (written.length) this.kept.set(reference, written)
    else this.kept.delete(reference)
  }

  /** Puts it back where it was written, and unfolds that form. */
  restore(reference: string, element: HTMLElement): void {
    const forms = formsOf(element)
    for (const [at, name, value] of this.kept.get(reference) ?? []) {
      const field = fieldsOf(forms[at]).find((one) => nameOf(one) === name)
      if (!field) continue
      if (field instanceof HTMLInputElement && field.type === 'checkbox') field.checked = value === 'yes'
      else field.value = value
      // A choice decides what may be chosen and stands after it.
      if (field instanceof HTMLSelectElement) field.dispatchEvent(new Event('change'))
      field.closest('details')?.setAttribute('open', '')
    }
    this.kept.delete(reference)
  }
}

/** Whether a form holds what somebody wrote and has not sent. */
export function isWrittenIn(element: HTMLElement): boolean {
  return [...element.querySelectorAll<HTMLInputElement>('input')].some(
    (input) =>
      !input.closest('form[data-sent]') &&
      (input.value !== input.defaultValue || input.checked !== input.defaultChecked),
  )
}

const formsOf = (element: HTMLElement): HTMLFormElement[] => [...element.querySelectorAll('form')]
const fieldsOf = (form: HTMLFormElement | undefined): Field[] => [
  ...(form?.querySelectorAll<Field>('input, select') ?? []),
]
const nameOf = (field: Field): string =>
  field.type === 'checkbox' ? `${field.name} ${field.value}` : field.name
const textIn = (field: Field): string =>
  field instanceof HTMLInputElement && field.type === 'checkbox' ? (field.checked ? 'yes' : '') : field.value
