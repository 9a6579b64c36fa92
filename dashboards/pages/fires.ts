import { cumulativeByFire, type FireDayRow } from '../charts/cumulative-by-fire.ts'
import { type FireRow, gallonsByFire } from '../charts/gallons-by-fire.ts'
import { type LineRow, lineBuilt } from '../charts/line-built.ts'
import { plural } from '../charts/words.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import type { Page } from '../page.ts'
import { choices } from '../parts/choices.ts'
import { chartFigure } from '../parts/figure.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'
import { textOf } from '../rows.ts'
import { dropList } from './drop-list.ts'
import { mapNeeds } from './map-needs.ts'
import { placeMap } from './place.ts'

export const fires: Page = {
  name: 'fires',
  title: 'Fires',
  sections: [
    {
      question: 'How many gallons went to each fire?',
      needs: ['gallons-by-fire'],
      async answer(context) {
        const rows = await context.query<FireRow>('gallons-by-fire')
        return rows.some((row) => row.drops)
          ? chartFigure(gallonsByFire, rows, context)
          : empty('No fire received fluid in this selection.')
      },
    },
    {
      question: 'What did each cost in flight hours?',
      needs: ['gallons-by-fire'],
      async answer(context) {
        const rows = await context.query<FireRow>('gallons-by-fire')
        return table(
          rows,
          {
            caption: 'Gallons and flight hours by fire',
            name: 'gallons-by-fire',
            query: 'gallons-by-fire',
            columns: [
              'fire',
              'name',
              'drops',
              'gallons',
              'flight_hours',
              'gallons_per_flight_hour',
              'first_at',
              'last_at',
            ],
          },
          context,
        )
      },
    },
    {
      question: 'Which hours went to no fire?',
      needs: ['hours-by-fire'],
      half: true,
      async answer(context) {
        const every = await context.query<{ fire: string; flight_hours: number | null }>('hours-by-fire')
        const rest = every.filter((row) => row.fire === 'no drop' || row.fire === 'unattributed')
        const named = every.filter((row) => !rest.includes(row))
        const hours = named.reduce((sum, row) => sum + (row.flight_hours ?? 0), 0)
        return table(
          [...rest, { fire: plural(named.length, 'fire'), flight_hours: hours }],
          {
            caption: 'All airborne hours: without a drop, on drops without a fire, and on fires',
            name: 'hours-by-fire',
            query: 'hours-by-fire',
            columns: ['fire', 'flight_hours'],
            cells: { fire: (row) => textOf(row.fire) },
            sortable: false,
          },
          context,
        )
      },
    },
    {
      question: 'How certain is the fire of each drop?',
      needs: ['fire-basis'],
      half: true,
      async answer(context) {
        const rows = await context.query<object>('fire-basis')
        return table(
          rows,
          {
            caption: 'Drops by how their fire is known',
            name: 'fire-basis',
            columns: ['basis', 'drops', 'gallons'],
            sortable: false,
          },
          context,
        )
      },
    },
    {
      question: 'How much line could it make, and how much was seen?',
      needs: ['line-built'],
      answer: line,
    },
    {
      question: 'How did the volume build up?',
      needs: ['gallons-by-fire-day'],
      async answer(context) {
        const rows = await context.query<FireDayRow>('gallons-by-fire-day')
        return rows.length ? chartFigure(cumulativeByFire, rows, context) : null
      },
    },
    { question: 'Where did the drops fall?', needs: mapNeeds, answer: placeMap },
    {
      question: 'Which drops stand behind it?',
      needs: ['drops'],
      answer: (context) =>
        dropList(
          'Drops of every purpose',
          [
            'dropped_at',
            'aircraft',
            'base',
            'fire',
            'fire_basis',
            'volume_gal',
            'coverage_level',
            'fluid',
            'purpose',
            'status',
          ],
          context,
        ),
    },
  ],
}

const lineGroups = [
  ['fire', 'fire'],
  ['hour', 'hour of the day, UTC'],
  ['day', 'day'],
  ['aircraft', 'aircraft'],
  ['tank', 'tank'],
  ['coverage', 'coverage level'],
] as const

function line(context: Context): Child {
  return choices([{ name: 'by', label: 'By', options: lineGroups, value: 'fire' }], async ({ by }) => {
    const rows = await context.query<LineRow>('line-built', { by: by! })
    if (!rows.some((row) => row.drops > 0)) return empty('No fire drop in this selection.')
    const every = context.api.address('line-built', context.filters, { by: 'drop', format: 'csv' })
    return [
      chartFigure(lineBuilt(by!), rows, context),
      h(
        'p',
        {},
        h('a', { class: 'plain', href: every, download: 'line-by-drop.csv' }, 'Line of each drop, CSV'),
      ),
    ]
  })
}
