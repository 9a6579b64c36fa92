import { h } from '../h.ts'

const kinds: readonly (readonly [string, string, string])[] = [
  [
    '1',
    'Registry',
    'aircraft, tanks, mountings, components and fittings, bases, fires: who is who, and since when',
  ],
  [
    '2',
    'Controller downloads, crew drop logs, base tickets, flight logs, tracker points',
    'what happened, from every hand that wrote it down',
  ],
  ['3', 'Tasks, baselines and accomplishments', 'what falls due, counted from where'],
  ['4', 'Contracts, rates and invoice lines', 'what was billed, against what happened'],
  ['5', "Observers' assessments", 'whether it worked'],
]

/** The page of an empty warehouse: what to bring, in which order, and a season to try. */
export function firstRun(choose: () => void): HTMLElement {
  return h(
    'article',
    { class: 'first-run' },
    h('h1', {}, 'The book is still blank'),
    h(
      'p',
      { class: 'lead' },
      'Drop your season’s logs anywhere on this page: CSV, JSON lines or spreadsheets, as they are, in any order. Each row is kept as written, and every figure in this book opens to the lines behind it.',
    ),
    h('p', {}, h('button', { type: 'button', class: 'bring', onclick: () => choose() }, 'Choose files')),
    h('h2', {}, 'What to bring'),
    h(
      'ol',
      { class: 'bring-list' },
      kinds.map(([, name, why]) => h('li', {}, h('b', {}, name), h('span', {}, why))),
    ),
    h('h2', {}, 'How far it is complete'),
    h(
      'p',
      {},
      'With the registry and drops alone there are gallons per fire. Tickets add bases and turnarounds, flights add hours, fittings add cycles, contracts add invoices, assessments add outcomes. A question that lacks its records says so instead of guessing.',
    ),
    h('h2', {}, 'A season to try first'),
    h('p', {}, 'An invented operator’s season comes with the program. In a terminal:'),
    h(
      'pre',
      { class: 'raw', tabindex: '0', 'aria-label': 'Command' },
      'npx gallonage ingest sample-logs/season-2026',
    ),
    h('p', { class: 'units' }, 'This page notices, and fills.'),
  )
}
