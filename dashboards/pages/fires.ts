import { cumulativeByFire } from '../charts/cumulative-by-fire.ts'
import { type FireRow, gallonsByFire } from '../charts/gallons-by-fire.ts'
import type { Page } from '../page.ts'
import { evidenceLink } from '../parts/cells.ts'
import { chartFigure } from '../parts/figure.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'
import { textOf } from '../rows.ts'
import { timeText } from '../times.ts'
import { type DropRow, fireDays } from './days.ts'
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
        const rows = await context.query<{ fire: string; flight_hours: number | null }>('hours-by-fire')
        return table(
          rows,
          {
            caption: 'All airborne hours, split over fires',
            name: 'hours-by-fire',
            query: 'hours-by-fire',
            columns: ['fire', 'flight_hours'],
            limit: 12,
          },
          context,
        )
      },
    },
    {
      question: 'How certain is the fire of each drop?',
      needs: ['drops'],
      half: true,
      async answer(context) {
        const drops = (await context.query<DropRow>('drops')).filter((drop) => drop.purpose === 'fire')
        const rows = ['stated', 'nearest', 'unattributed'].map((basis) => {
          const own = drops.filter((drop) => drop.fire_basis === basis)
          return {
            basis,
            drops: own.length,
            gallons: own.reduce((sum, drop) => sum + (drop.volume_gal ?? 0), 0),
          }
        })
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
      question: 'How did the volume build up?',
      needs: ['gallons-by-fire', 'drops'],
      async answer(context) {
        const named = await context.query<FireRow>('gallons-by-fire')
        const rows = await fireDays(context, new Map(named.map((row) => [row.fire, row.name])))
        return rows.length ? chartFigure(cumulativeByFire, rows, context) : null
      },
    },
    { question: 'Where did the drops fall?', needs: ['drops'], answer: placeMap },
    {
      question: 'Which drops stand behind it?',
      needs: ['drops'],
      async answer(context) {
        const rows = await context.query<DropRow>('drops')
        return rows.length
          ? table(
              rows,
              {
                caption: 'Drops of every purpose',
                name: 'drops',
                query: 'drops',
                columns: [
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
                limit: 25,
                cells: {
                  dropped_at: (row) =>
                    evidenceLink(
                      context,
                      'drop',
                      textOf(row.drop),
                      timeText(textOf(row.dropped_at), context.address.zone),
                    ),
                },
              },
              context,
            )
          : empty('No drop in this selection.')
      },
    },
  ],
}
