import type { Page } from '../page.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'
import { heights } from './heights.ts'
import { comparison, outcomes } from './outcomes.ts'
import { seasonAgainst } from './season-against.ts'

export const effectiveness: Page = {
  name: 'effectiveness',
  title: 'Effectiveness',
  sections: [
    {
      question: 'Did the drops work?',
      needs: ['outcome-overview'],
      answer: outcomes,
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
      answer: seasonAgainst,
    },
  ],
}
