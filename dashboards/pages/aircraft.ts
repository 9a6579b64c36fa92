import { gallonsPerHour } from '../charts/gallons-per-hour.ts'
import type { Page } from '../page.ts'
import { chartFigure } from '../parts/figure.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'
import { type FlightRow, flightGallons } from './days.ts'

export const aircraft: Page = {
  name: 'aircraft',
  title: 'Aircraft',
  sections: [
    {
      question: 'What did each aircraft deliver per flight hour?',
      needs: ['gallons-by-aircraft'],
      async answer(context) {
        const rows = await context.query<object>('gallons-by-aircraft')
        return rows.length
          ? table(
              rows,
              {
                caption: 'Gallons and hours by aircraft',
                name: 'gallons-by-aircraft',
                query: 'gallons-by-aircraft',
                columns: [
                  'aircraft',
                  'call_number',
                  'drops',
                  'gallons',
                  'airborne_hours',
                  'mission_hours',
                  'gallons_per_airborne_hour',
                  'gallons_per_mission_hour',
                ],
              },
              context,
            )
          : empty('No aircraft flew in this selection.')
      },
    },
    {
      question: 'How far do its flights spread?',
      needs: ['flights', 'drops'],
      async answer(context) {
        const rows = await flightGallons(context)
        return rows.length
          ? chartFigure(gallonsPerHour, rows, context)
          : empty('No mission flight in this selection.')
      },
    },
    {
      question: 'Which flights carried no drop?',
      needs: ['flights'],
      async answer(context) {
        const rows = (await context.query<FlightRow>('flights')).filter((flight) => !flight.mission)
        return rows.length
          ? table(
              rows,
              {
                caption: 'Flights without a fire drop',
                name: 'flights-without-drop',
                query: 'flights',
                columns: ['flight', 'off_at', 'on_at', 'aircraft', 'airborne_hours', 'status'],
                limit: 15,
              },
              context,
            )
          : empty('Every flight in this selection dropped on a fire.')
      },
    },
    {
      question: 'Do level, loads and drops add up?',
      needs: ['tank-balance'],
      async answer(context) {
        const rows = await context.query<{ residual_gal: number | null }>('tank-balance')
        const sorted = [...rows].sort((a, b) => Math.abs(b.residual_gal ?? 0) - Math.abs(a.residual_gal ?? 0))
        return rows.length
          ? table(
              sorted,
              {
                caption: 'Load cycles, largest residual first',
                name: 'tank-balance',
                query: 'tank-balance',
                columns: [
                  'tank',
                  'opened_at',
                  'loaded_gal',
                  'dropped_gal',
                  'offloaded_gal',
                  'residual_gal',
                  'finding',
                ],
                limit: 15,
              },
              context,
            )
          : empty('No load cycle in this selection.')
      },
    },
    {
      question: 'Which flights stand behind it?',
      needs: ['flights'],
      async answer(context) {
        const rows = await context.query<object>('flights')
        return table(
          rows,
          {
            caption: 'Flights',
            name: 'flights',
            query: 'flights',
            columns: ['flight', 'off_at', 'on_at', 'aircraft', 'airborne_hours', 'mission', 'status'],
            limit: 15,
          },
          context,
        )
      },
    },
  ],
}
