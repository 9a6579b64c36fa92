import { type DifferenceRow, outcomeDifferences } from '../charts/outcome-differences.ts'
import { type OutcomeRow, outcomeIntervals } from '../charts/outcome-intervals.ts'
import { listed } from '../charts/words.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import type { Page } from '../page.ts'
import { choices } from '../parts/choices.ts'
import { chartFigure } from '../parts/figure.ts'
import { longTable } from '../parts/long-table.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'

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

interface SeasonRate {
  measure: string
  unit: string
  season: string
  against: string
  difference: number | null
  is_different: boolean | null
  from_day: string
  to_day: string
  aircraft: readonly string[] | string
}

export const effectiveness: Page = {
  name: 'effectiveness',
  title: 'Effectiveness',
  sections: [
    {
      question: 'Did the drops work?',
      needs: ['outcome-overview'],
      async answer(context) {
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
      },
    },
    {
      question: 'Did one group of drops do better than another?',
      needs: ['outcome-comparison'],
      answer: comparison,
    },
    {
      question: 'Was the coverage what the fuel calls for?',
      needs: ['coverage-for-fuel'],
      async answer(context) {
        const rows = await context.query<object>('coverage-for-fuel')
        return rows.length
          ? table(
              rows,
              {
                caption:
                  'Coverage set against the published recommendation. Shown, not judged: the air attack decides on the day.',
                name: 'coverage-for-fuel',
                query: 'coverage-for-fuel',
                columns: ['fuel', 'recommended', 'coverage_level', 'difference', 'drops', 'gallons'],
                limit: 20,
                cells: {
                  difference: (row) =>
                    row.difference === null || row.difference === undefined
                      ? '—'
                      : Number(row.difference) === 0
                        ? 'inside'
                        : `${Number(row.difference) > 0 ? '+' : '−'}${Math.abs(Number(row.difference))} CL`,
                },
              },
              context,
            )
          : empty('No drop names its fuel.')
      },
    },
    {
      question: 'Were drops below a published height?',
      needs: ['safe-height', 'safe-height-by-aircraft'],
      answer: heights,
    },
    {
      question: 'What did a delivered gallon and a chain of line cost?',
      needs: ['delivery-cost'],
      async answer(context) {
        const rows = await context.query<object>('delivery-cost')
        return rows.length
          ? table(
              rows,
              {
                caption:
                  'Everything billed, availability and flight time too, by what was delivered. The chain is the upper bound at the set coverage, so its cost is a lower bound.',
                name: 'delivery-cost',
                query: 'delivery-cost',
                columns: [
                  'contract',
                  'currency',
                  'billed',
                  'gallons',
                  'cost_per_gallon',
                  'bound_chains',
                  'cost_per_bound_chain',
                  'observed_chains',
                  'drops',
                ],
              },
              context,
            )
          : empty('No invoice in this selection.', 'Drop in invoice lines, contracts and rates.')
      },
    },
    {
      question: 'Was it better than another season?',
      needs: ['season-comparison'],
      answer: seasons,
    },
  ],
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
function comparison(context: Context): Child {
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

const caution = (): HTMLElement =>
  h(
    'p',
    { class: 'caution' },
    'Caution: local rules, the aircraft’s own limits and the crew’s judgment decide. This only shows what the records say; published minimums are above the canopy, heights here are above ground.',
  )

async function heights(context: Context): Promise<Child> {
  const rows = await context.query<{ rule: string; rule_text: string }>('safe-height-by-aircraft')
  if (!rows.length)
    return [caution(), empty('No drop on record with its height was below a published height.')]
  return [
    caution(),
    table(
      rows,
      {
        caption: 'Fire drops below the published height for their aircraft',
        name: 'safe-height-by-aircraft',
        query: 'safe-height-by-aircraft',
        columns: [
          'aircraft',
          'class',
          'heights',
          'below',
          'below_rate',
          'lowest_ft',
          'largest_short_ft',
          'rule',
        ],
      },
      context,
    ),
    [...new Map(rows.map((row) => [row.rule, row.rule_text]))].map(([rule, text]) =>
      h('p', {}, h('small', {}, `${rule}: ${text}`)),
    ),
    h(
      'details',
      {},
      h('summary', {}, 'The drops, farthest below first'),
      await longTable(
        {
          caption: 'Drops below a published height',
          name: 'safe-height',
          query: 'safe-height',
          none: 'None.',
          columns: [
            'drop',
            'dropped_at',
            'aircraft',
            'height_ft',
            'minimum_ft',
            'short_ft',
            'rule',
            'volume_gal',
          ],
        },
        context,
      ),
    ),
  ]
}

function seasons(context: Context): Child {
  const { seasons: held } = context.api.status
  if (held.length < 2)
    return empty(
      `Only one season is on record${held[0] ? `, ${held[0]}` : ''}.`,
      'With a second one, every rate is compared like for like: same months, same aircraft.',
    )
  const own = context.filters.season ?? held.at(-1)!
  const others = held.filter((one) => one !== own).reverse()
  const against = {
    name: 'against',
    label: `${own} against`,
    options: others.map((one) => [one, one] as const),
    value: others[0]!,
  }
  return choices([against], async (chosen) => {
    const rows = await context.query<SeasonRate>('season-comparison', {
      season: own,
      ...(chosen.against ? { against: chosen.against } : {}),
    })
    const [first] = rows
    if (!first) return empty('No aircraft flew in both seasons on the same days of the year.')
    const clear = rows.filter((row) => row.is_different)
    const aircraft = typeof first.aircraft === 'string' ? first.aircraft : first.aircraft.join(', ')
    return [
      h(
        'p',
        { class: 'lead' },
        clear.length
          ? `More than chance explains: ${listed(clear.map((row) => `${row.measure} ${(row.difference ?? 0) > 0 ? 'up' : 'down'}`))}.`
          : 'No rate differs by more than chance explains.',
      ),
      table(
        rows,
        {
          caption: `Like for like: ${aircraft}; ${first.from_day} to ${first.to_day} of each year. 95 % intervals of the difference; of twenty one leaves zero out by chance. Fires, bases and weather still differ.`,
          name: 'season-comparison',
          query: 'season-comparison',
          columns: [
            'measure',
            'unit',
            'season_value',
            'season_n',
            'against_value',
            'against_n',
            'difference',
            'low',
            'high',
            'is_different',
          ],
          cells: Object.fromEntries(
            ['difference', 'low', 'high'].map((name) => [
              name,
              (row) => (typeof row[name] === 'number' ? (row[name] as number).toPrecision(3) : '—'),
            ]),
          ),
          sortable: false,
        },
        context,
      ),
    ]
  })
}
