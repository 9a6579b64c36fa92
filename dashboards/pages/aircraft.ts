import { type FlightGallonsRow, gallonsPerHour } from '../charts/gallons-per-hour.ts'
import { ledgers } from '../ledgers.ts'
import type { Page } from '../page.ts'
import { chartFigure } from '../parts/figure.ts'
import { longTable } from '../parts/long-table.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'

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
                columns: ledgers['gallons-by-aircraft'],
              },
              context,
            )
          : empty('No aircraft flew in this selection.')
      },
    },
    {
      question: 'How far do its flights spread?',
      needs: ['flight-gallons'],
      async answer(context) {
        const rows = await context.query<FlightGallonsRow>('flight-gallons')
        return rows.length
          ? chartFigure(gallonsPerHour, rows, context)
          : empty('No mission flight in this selection.')
      },
    },
    {
      question: 'Which flights carried no drop?',
      needs: ['flights-without-drop'],
      answer: (context) =>
        longTable(
          {
            caption: 'Flights without a fire drop, newest first',
            name: 'flights-without-drop',
            query: 'flights-without-drop',
            none: 'Every flight in this selection dropped on a fire.',
            columns: [
              'flight',
              'off_at',
              'on_at',
              'aircraft',
              'airborne_hours',
              'from_base',
              'to_base',
              'status',
            ],
          },
          context,
        ),
    },
    {
      question: 'Do level, loads and drops add up?',
      needs: ['largest-residuals'],
      async answer(context) {
        const rows = await context.query<object>('largest-residuals')
        return rows.length
          ? table(
              rows,
              {
                caption: 'Load cycles with a finding, then those with the largest residual',
                name: 'largest-residuals',
                query: 'largest-residuals',
                columns: [
                  'load',
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
          : empty('No load cycle in this selection was seen by a gauge.')
      },
    },
    {
      question: 'Which flights stand behind it?',
      needs: ['flights'],
      answer: (context) =>
        longTable(
          {
            caption: 'Flights',
            name: 'flights',
            query: 'flights',
            none: 'No flight in this selection.',
            columns: ['flight', 'off_at', 'on_at', 'aircraft', 'airborne_hours', 'mission', 'status'],
          },
          context,
        ),
    },
  ],
}
