import type { Context, TableReading } from '../context.ts'
import { append, type Child, h } from '../h.ts'
import type { Page, Section } from '../page.ts'
import { failed, loading, missing } from './states.ts'

/** The questions of a page in order. Each is asked by itself, so a slow or failing answer holds up no other. */
export class Sections {
  readonly element = h('div', { class: 'sections' })
  private readonly slots: { section: Section; body: HTMLElement; turn: number }[]

  private readonly lead = h('div', { class: 'lead-in' })
  /** How the reader left the tables of this page: news draws them again as they were left. */
  private readonly readings = new Map<string, TableReading>()
  private readonly page: Page

  constructor(page: Page) {
    this.page = page
    this.slots = page.sections.map((section) => ({
      section,
      body: h('div', { class: 'answer' }, loading()),
      turn: 0,
    }))
    this.element.append(
      ...(page.lead ? [this.lead] : []),
      ...this.slots.map(({ section, body }, at) =>
        h(
          'section',
          { class: section.half ? 'question half' : 'question', 'aria-labelledby': `question-${at + 1}` },
          h(
            'h2',
            { id: `question-${at + 1}` },
            h('span', { class: 'ordinal', 'aria-hidden': 'true' }, `${at + 1}`),
            section.question,
          ),
          body,
        ),
      ),
    )
  }

  /** Asks again; what stands stays until the new answer is there. */
  async refresh(context: Context): Promise<void> {
    if (this.page.lead) {
      const part = document.createElement('div')
      append(part, [this.page.lead(context)])
      replace(this.lead, part)
    }
    await Promise.all(this.slots.map((slot) => this.ask(slot, context)))
  }

  private async ask(
    slot: { section: Section; body: HTMLElement; turn: number },
    context: Context,
  ): Promise<void> {
    const turn = ++slot.turn
    slot.body.setAttribute('aria-busy', 'true')
    const lacking = slot.section.needs.filter((name) => !context.api.has(name))
    const part = document.createElement('div')
    try {
      const own = context.own(this.readings)
      const answer = lacking.length ? missing(lacking) : await slot.section.answer(own)
      append(part, [leftOutNote(own), answer])
    } catch (error) {
      append(part, [failed(error, () => void this.ask(slot, context))])
    }
    if (turn !== slot.turn) return
    replace(slot.body, part)
    slot.body.removeAttribute('aria-busy')
  }
}

/**
 * Puts new content in place of the old: the focus stays, and what has an identifier stays unfolded, chosen
 * and written.
 */
function replace(body: HTMLElement, part: HTMLElement): void {
  const placeOfFocus = focusIn(body)
  const unfolded = [...body.querySelectorAll<HTMLDetailsElement>('details[id]')]
    .filter((one) => one.open)
    .map((one) => one.id)
  for (const old of body.querySelectorAll<HTMLInputElement>('input[id]')) {
    const now = part.querySelector<HTMLInputElement>(`input#${CSS.escape(old.id)}`)
    if (!now || (old.value === old.defaultValue && old.checked === old.defaultChecked)) continue
    now.value = old.value
    now.checked = old.checked
    if ('kept' in old.dataset) now.dispatchEvent(new Event('change'))
  }
  for (const old of body.querySelectorAll<HTMLSelectElement>('select[data-kept]')) {
    const now = part.querySelector<HTMLSelectElement>(`#${CSS.escape(old.id)}`)
    if (!now || now.value === old.value || ![...now.options].some((one) => one.value === old.value)) continue
    now.value = old.value
    now.dispatchEvent(new Event('change'))
  }
  for (const id of unfolded) part.querySelector(`#${CSS.escape(id)}`)?.setAttribute('open', '')
  body.replaceChildren(...part.childNodes)
  placeOfFocus?.()?.focus({ preventScroll: true })
}

/** Finds what has the focus within an element again once its content is new: by its identifier, else by its kind and text. */
function focusIn(body: HTMLElement): (() => HTMLElement | null) | null {
  const held = document.activeElement
  if (!(held instanceof HTMLElement) || !body.contains(held)) return null
  const { id, tagName, textContent } = held
  if (id) return () => document.getElementById(id)
  const alike = (): HTMLElement[] =>
    [...body.querySelectorAll<HTMLElement>(tagName)].filter((one) => one.textContent === textContent)
  const place = alike().indexOf(held)
  return () => alike()[place] ?? null
}

/** Says it when an answer could not be narrowed as the reader asked. */
function leftOutNote(context: Context): Child {
  const names = context.filtersLeftOut()
  if (!names.length) return null
  return h(
    'p',
    { class: 'left-out' },
    `Not narrowed by ${names.join(', ')}: this answer covers more than the filter.`,
  )
}
