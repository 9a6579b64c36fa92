import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { longTable } from '../parts/long-table.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'

const caution = (): HTMLElement =>
  h(
    'p',
    { class: 'caution' },
    'Caution: local rules, the aircraft’s own limits and the crew’s judgment decide. This only shows what the records say; published minimums are above the canopy, heights here are above ground.',
  )

/** Drops below a published height, with the caution that others decide. */
export async function heights(context: Context): Promise<Child> {
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
