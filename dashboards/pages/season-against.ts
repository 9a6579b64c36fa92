import { listed } from '../charts/words.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { choices } from '../parts/choices.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'
import { threeFigures } from '../units.ts'

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

/** One season against another, like for like. */
export function seasonAgainst(context: Context): Child {
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
            ['season_value', 'against_value', 'difference', 'low', 'high'].map((name) => [
              name,
              (row) => (typeof row[name] === 'number' ? threeFigures(row[name]) : '—'),
            ]),
          ),
          sortable: false,
        },
        context,
      ),
    ]
  })
}
