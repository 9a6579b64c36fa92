import { Problem } from '../api.ts'
import { type Child, h } from '../h.ts'

/** The states in which there is nothing to show, each with a way on. */
export function loading(): HTMLElement {
  return h('div', { class: 'state loading', 'aria-hidden': 'true' }, h('span'), h('span'), h('span'))
}

export function empty(text: string, way?: Child): HTMLElement {
  return h('div', { class: 'state empty' }, h('p', {}, text), way ? h('p', { class: 'way' }, way) : null)
}

export function missing(names: readonly string[]): HTMLElement {
  return h(
    'div',
    { class: 'state missing' },
    h('p', {}, 'Not on record yet.'),
    h(
      'p',
      { class: 'way' },
      `This answer comes with ${names.join(', ')}, which this warehouse does not hold.`,
    ),
  )
}

export function failed(error: unknown, retry: () => void): HTMLElement {
  const problem = error instanceof Problem ? error : null
  return h(
    'div',
    { class: 'state failed', role: 'alert' },
    h('p', {}, problem?.message ?? 'This answer could not be drawn.'),
    h(
      'p',
      { class: 'way' },
      problem?.way ?? (problem ? null : String(error instanceof Error ? error.message : error)),
    ),
    h('button', { type: 'button', class: 'plain', onclick: () => retry() }, 'Try again'),
  )
}
