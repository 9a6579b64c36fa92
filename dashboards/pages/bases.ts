import { type BaseHourRow, baseHourLoad } from '../charts/base-hour-load.ts'
import { type BiasRow, biasIntervals } from '../charts/bias-intervals.ts'
import { type TurnaroundRow, turnaroundParts } from '../charts/turnaround-parts.ts'
import type { Context } from '../context.ts'
import type { Child } from '../h.ts'
import type { Page } from '../page.ts'
import { chartFigure } from '../parts/figure.ts'
import { longTable } from '../parts/long-table.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'

interface MeterRow {
  base: string
  pairs: number
  bias_pct: number | null
  low_pct: number | null
  high_pct: number | null
}

const meterBias = biasIntervals(
  'meter-bias',
  'base',
  'pairs',
  "Ticket against the tank's gauge, percent, 95 % interval. Right of zero: the ticket shows more than the gauge.",
)

export const bases: Page = {
  name: 'bases',
  title: 'Bases',
  sections: [
    {
      question: 'What did each base load and deliver?',
      needs: ['gallons-by-base'],
      async answer(context) {
        const rows = await context.query<object>('gallons-by-base')
        return table(
          rows,
          {
            caption: 'Loads, gallons and hours by base',
            name: 'gallons-by-base',
            query: 'gallons-by-base',
            columns: [
              'base',
              'name',
              'loads',
              'loaded_gal',
              'drops',
              'gallons',
              'flight_hours',
              'gallons_per_flight_hour',
              'median_turnaround_min',
            ],
          },
          context,
        )
      },
    },
    {
      question: 'When is each base busy?',
      needs: ['loads-by-hour'],
      async answer(context) {
        const rows = await context.query<BaseHourRow>('loads-by-hour')
        return rows.length ? chartFigure(baseHourLoad, rows, context) : empty('No load in this selection.')
      },
    },
    {
      question: 'Where does turnaround time go?',
      needs: ['turnarounds'],
      async answer(context) {
        const rows = await context.query<TurnaroundRow>('turnarounds')
        return rows.length
          ? chartFigure(turnaroundParts, rows, context)
          : empty('No turnaround in this selection.')
      },
    },
    {
      question: 'Do the meters agree with the tanks?',
      needs: ['meter-bias'],
      async answer(context) {
        const rows = await context.query<MeterRow>('meter-bias')
        const list: BiasRow[] = rows.map((row) => ({
          label: row.base,
          count: row.pairs,
          bias_pct: row.bias_pct,
          low_pct: row.low_pct,
          high_pct: row.high_pct,
        }))
        return rows.length
          ? [chartFigure(meterBias, list, context), await worthTable(context)]
          : empty('No base has loads seen by its meter and by a gauge.')
      },
    },
    {
      question: 'Which loads stand behind it?',
      needs: ['loads'],
      answer: (context) =>
        longTable(
          {
            caption: 'Loads',
            name: 'loads',
            query: 'loads',
            none: 'No load in this selection.',
            columns: [
              'load',
              'loaded_at',
              'aircraft',
              'tank',
              'base',
              'ticket',
              'volume_gal',
              'fluid',
              'status',
            ],
          },
          context,
        ),
    },
  ],
}

/** What the bias came to in money, where contracts price the loaded gallon. */
async function worthTable(context: Context): Promise<Child> {
  const rows = await context.maybe<object>('meter-bias-worth')
  if (!rows?.length) return null
  return table(
    rows,
    {
      caption: 'What the bias was worth: positive, the meter read too much and that much was charged',
      name: 'meter-bias-worth',
      query: 'meter-bias-worth',
      columns: [
        'base',
        'contract',
        'season',
        'loads',
        'amount',
        'worth',
        'worth_low',
        'worth_high',
        'currency',
      ],
    },
    context,
  )
}
