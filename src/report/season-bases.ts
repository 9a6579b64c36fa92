import { type BaseHourRow, baseHourLoad } from '../../dashboards/charts/base-hour-load.ts'
import { type FlightGallonsRow, gallonsPerHour } from '../../dashboards/charts/gallons-per-hour.ts'
import { type TurnaroundRow, turnaroundParts } from '../../dashboards/charts/turnaround-parts.ts'
import { ledgers } from '../../dashboards/ledgers.ts'
import { type Asking, tableOf, totals } from './asking.ts'
import { type Section, text } from './block.ts'
import { chartOf } from './chart.ts'

/** What each base loaded and delivered, when it was busy, and where turnaround time went. */
export async function bases(asking: Asking): Promise<Section> {
  const parts = ['fill_min', 'hold_min', 'out_min', 'scene_min', 'back_min']
  return {
    title: 'Bases',
    blocks: [
      ...(await asking.blocks('gallons-by-base', (answer) => [
        tableOf(answer, 'Gallons per base', ledgers['gallons-by-base'], {
          total: totals(answer, ['loads', 'loaded_gal', 'drops', 'gallons', 'flight_hours'], 'base'),
        }),
      ])),
      ...(await asking.blocks(
        'loads-by-hour',
        (answer) => [chartOf(baseHourLoad, answer.rows as unknown as BaseHourRow[], asking.look)],
        { nothing: 'No load is on record.' },
      )),
      ...(await asking.blocks(
        'turnarounds',
        (answer) => [
          chartOf(turnaroundParts, answer.rows as unknown as TurnaroundRow[], asking.look),
          tableOf(answer, 'Turnarounds', ['base', 'turnarounds', 'median_min', 'p90_min', ...parts]),
          text('Medians of parts need not add up to the median of the whole.'),
        ],
        { nothing: 'No turnaround is on record.' },
      )),
    ],
  }
}

/** What each aircraft delivered for its hours, and how far its flights spread. */
export async function aircraft(asking: Asking): Promise<Section> {
  return {
    title: 'Aircraft',
    blocks: [
      ...(await asking.blocks(
        'gallons-by-aircraft',
        (answer) => [
          tableOf(answer, 'Gallons per aircraft', ledgers['gallons-by-aircraft'], {
            total: totals(answer, ['drops', 'gallons', 'airborne_hours', 'mission_hours'], 'aircraft'),
          }),
        ],
        { nothing: 'No aircraft flew.' },
      )),
      ...(await asking.blocks(
        'flight-gallons',
        (answer) => [chartOf(gallonsPerHour, answer.rows as unknown as FlightGallonsRow[], asking.look)],
        { nothing: 'No mission flight is on record.' },
      )),
    ],
  }
}
