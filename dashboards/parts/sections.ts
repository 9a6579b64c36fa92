import { Context } from '../context.ts'
import { append, type Child, h } from '../h.ts'
import type { Page, Section } from '../page.ts'
import { failed, loading, missing } from './states.ts'

/** The questions of a page in order. Each is asked by itself, so a slow or failing answer holds up no other. */
export class Sections {
  readonly element = h('div', { class: 'sections' })
  private readonly slots: { section: Section; body: HTMLElement; turn: number }[]

  constructor(page: Page) {
    this.slots = page.sections.map((section) => ({
      section,
      body: h('div', { class: 'answer' }, loading()),
      turn: 0,
    }))
    this.element.append(
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
      const own = new Context(context.api, context.address)
      const answer = lacking.length ? missing(lacking) : await slot.section.answer(own)
      append(part, [leftOutNote(own), answer])
    } catch (error) {
      append(part, [failed(error, () => void this.ask(slot, context))])
    }
    if (turn !== slot.turn) return
    slot.body.replaceChildren(...part.childNodes)
    slot.body.removeAttribute('aria-busy')
  }
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
