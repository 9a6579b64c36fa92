/** HTML that is safe to put into a page as it stands. */
export class Markup {
  readonly text: string

  constructor(text: string) {
    this.text = text
  }
}

export type Fragment = Markup | string | number | null | readonly Fragment[]

/** HTML from a template; every value that is not `Markup` is escaped. */
export function html(parts: TemplateStringsArray, ...values: readonly Fragment[]): Markup {
  let text = parts[0]!
  values.forEach((value, index) => {
    text += render(value) + parts[index + 1]!
  })
  return new Markup(text)
}

function render(value: Fragment): string {
  if (value === null) return ''
  if (value instanceof Markup) return value.text
  if (Array.isArray(value)) return value.map(render).join('')
  return escaped(String(value))
}

const entities: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
}

function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (letter) => entities[letter]!)
}
