import { type DifferenceRow, outcomeDifferences } from '../charts/outcome-differences.ts'
import { type OutcomeRow, outcomeIntervals } from '../charts/outcome-intervals.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { choices } from '../parts/choices.ts'
import { chartFigure } from '../parts/figure.ts'
import { empty } from '../parts/states.ts'

const groups = [
  ['objective', 'objective'],
  ['class', 'aircraft class'],
  ['fuel', 'fuel'],
  ['coverage', 'coverage level'],
  ['wind', 'wind'],
  ['height', 'drop height'],
] as const
const comparable = [
  ...groups,
  ['fluid', 'fluid'],
  ['aircraft', 'aircraft'],
  ['tank', 'tank'],
  ['season', 'season'],
] as const

/** Rates by everything that may matter, a chart for each. */
export async function outcomes(context: Context): Promise<Child> {
  const every = await context.query<OutcomeRow & { by: string }>('outcome-overview')
  const drawn = groups.flatMap(([by, label]) => {
    const rows = every.filter((row) => row.by === by)
    if (!rows.some((row) => row.success_rate !== null)) return []
    const chart = { ...outcomeIntervals, name: `outcomes-by-${label.replaceAll(' ', '-')}` }
    return [h('div', {}, h('p', { class: 'by' }, `By ${label}`), chartFigure(chart, rows, context))]
  })
  if (!drawn.length)
    return empty('No drop has been assessed.', 'Drop in observers’ assessments (assessment.csv).')
  return [h('p', { class: 'lead' }, known(every)), h('div', { class: 'pair' }, drawn)]
}

function known(rows: readonly (OutcomeRow & { by: string })[]): string {
  const one = rows.filter((row) => row.by === 'objective')
  const sum = (pick: (row: OutcomeRow) => number): number => one.reduce((total, row) => total + pick(row), 0)
  const assessed = sum((row) => row.assessed)
  const outcomes = sum((row) => row.effective + row.not_effective)
  const share = outcomes ? Math.round((100 * sum((row) => row.effective)) / outcomes) : null
  return `${assessed} drops were assessed; of ${outcomes} the outcome is known, and ${share ?? '—'} % of those were effective. The others are in no rate.`
}

/** Two groups, or each group against all others; what they are by is the reader's choice. */
export function comparison(context: Context): Child {
  const by = { name: 'by', label: 'Groups by', options: comparable, value: 'objective' }
  return choices([by], async (chosen) => {
    const first = await context.query<DifferenceRow>('outcome-comparison', { by: chosen.by! })
    const names = [...new Set(first.map((row) => row.group_name))].sort()
    if (names.length < 2) return empty('There is only one such group among the assessed drops.')
    const options = (all: string) => [['', all] as const, ...names.map((name) => [name, name] as const)]
    return choices(
      [
        { name: 'one', label: 'Compare', options: options('each group'), value: '' },
        { name: 'other', label: 'with', options: options('all others'), value: '' },
      ],
      async ({ one, other }) => {
        const more = { by: chosen.by!, ...(one ? { one } : {}), ...(other ? { other } : {}) }
        if (one && one === other) return empty('Choose two groups that differ.')
        const rows = one || other ? await context.query<DifferenceRow>('outcome-comparison', more) : first
        return h(
          'div',
          { class: 'pair' },
          [
            ['success', 'effective', 'outcome-success-differences'],
            ['interaction', 'on the fire', 'outcome-interaction-differences'],
          ].map(([rate, words, name]) =>
            chartFigure(
              outcomeDifferences(name!, words!),
              rows.filter((row) => row.rate === rate),
              context,
            ),
          ),
        )
      },
    )
  })
}
