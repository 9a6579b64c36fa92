import { option } from '../amendments/sign.ts'
import type { Context } from '../context.ts'
import { h } from '../h.ts'
import { standingOf } from '../parts/standing.ts'
import type { Due } from './due-table.ts'

/** What is supposed stands in the address, so that a link shows a colleague the same; nothing is written down. */
export function supposeForm(rows: readonly Due[], context: Context): HTMLElement {
  const { plan } = context.address
  const { day } = standingOf(context)
  const [from = '', to = ''] = (plan.window ?? '').split('..')
  const message = h('p', { class: 'message', role: 'status' })
  const perDay = h('input', {
    id: 'suppose-per-day',
    type: 'number',
    min: '0',
    step: 'any',
    value: plan.per_day ?? '',
  })
  const first = h('input', { id: 'suppose-from', type: 'date', value: from })
  const last = h('input', { id: 'suppose-to', type: 'date', value: to })
  const use = h(
    'form',
    { class: 'suppose', onsubmit: (event) => takeUse(event) },
    h(
      'fieldset',
      {},
      h('legend', {}, 'Use'),
      h('label', { for: 'suppose-per-day' }, 'Openings a day and tank, in the season', perDay),
      h('label', { for: 'suppose-from' }, 'Season from', first),
      h('label', { for: 'suppose-to' }, 'to', last),
      h('button', { type: 'submit', id: 'suppose-use' }, 'Suppose it'),
    ),
  )
  function takeUse(event: Event): void {
    event.preventDefault()
    if (Boolean(first.value) !== Boolean(last.value)) {
      message.textContent = 'A season needs its first and its last day.'
      return
    }
    if (first.value > last.value) {
      message.textContent = 'The season ends before it begins.'
      return
    }
    context.go({
      plan: { per_day: perDay.value || null, window: first.value ? `${first.value}..${last.value}` : null },
    })
  }

  const works = [...new Map(rows.map((row) => [`${row.task}@${row.item}`, row])).values()]
  const parts = [...new Map(rows.filter((row) => row.kind !== 'tank').map((row) => [row.item, row])).values()]
  const what = h(
    'select',
    { id: 'suppose-what', 'data-kept': true },
    h(
      'optgroup',
      { label: 'Planned work' },
      works.map((row) =>
        option(
          `done ${row.task}@${row.item}`,
          `${row.task} on ${row.item}, ${row.tank}${row.status === 'ok' ? '' : `: ${row.status}`}`,
        ),
      ),
    ),
    h(
      'optgroup',
      { label: 'A new part in place of' },
      parts.map((row) =>
        option(`swap ${row.item}`, `${row.item}, ${row.kind} at ${row.position}, ${row.tank}`),
      ),
    ),
  )
  const on = h('input', { id: 'suppose-on', type: 'date', required: true, min: day, value: day })
  const steps = [...stepsIn(plan.done, 'done'), ...stepsIn(plan.swap, 'swap')]
  const write = (kept: readonly Step[]): void =>
    context.go({
      plan: Object.fromEntries(
        (['done', 'swap'] as const).map((kind) => [
          kind,
          kept
            .filter((step) => step.kind === kind)
            .map((step) => step.text)
            .join('; ') || null,
        ]),
      ),
    })
  const add = h(
    'form',
    {
      class: 'suppose',
      onsubmit: (event) => {
        event.preventDefault()
        const [kind, ...rest] = what.value.split(' ')
        const step = { kind: kind as Step['kind'], text: `${rest.join(' ')}@${on.value}` }
        write([...steps.filter((one) => one.text !== step.text || one.kind !== step.kind), step])
      },
    },
    h(
      'fieldset',
      {},
      h('legend', {}, 'Work and parts'),
      h('label', { for: 'suppose-what' }, 'What', what),
      h('label', { for: 'suppose-on' }, 'At the end of', on),
      h('button', { type: 'submit', id: 'suppose-add' }, 'Add it'),
    ),
  )
  return h(
    'div',
    {},
    use,
    add,
    message,
    steps.length
      ? h(
          'ul',
          { class: 'steps', 'aria-label': 'Supposed' },
          steps.map((step) =>
            h(
              'li',
              {},
              `${saying(step)} `,
              h(
                'button',
                {
                  type: 'button',
                  class: 'plain',
                  'aria-label': `Take back: ${saying(step)}`,
                  onclick: () => write(steps.filter((one) => one !== step)),
                },
                'Take back',
              ),
            ),
          ),
        )
      : null,
    steps.length || plan.per_day || plan.window
      ? h(
          'a',
          {
            id: 'suppose-nothing',
            href: context.link({ plan: { per_day: null, window: null, done: null, swap: null } }),
          },
          'Suppose nothing',
        )
      : null,
  )
}

interface Step {
  kind: 'done' | 'swap'
  /** `TASK@ITEM@DAY` or `ITEM@DAY`. */
  text: string
}

const stepsIn = (text: string | undefined, kind: Step['kind']): Step[] =>
  (text ?? '')
    .split(';')
    .map((part) => part.trim())
    .filter(Boolean)
    .map((part) => ({ kind, text: part }))

function saying({ kind, text }: Step): string {
  const parts = text.split('@')
  return kind === 'done'
    ? `${parts[0]} on ${parts[1]} is done on ${parts[2]}`
    : `A new part in place of ${parts[0]} on ${parts[1]}`
}
