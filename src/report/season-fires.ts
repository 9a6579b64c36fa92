import { cumulativeByFire, type FireDayRow } from '../../dashboards/charts/cumulative-by-fire.ts'
import { type FireRow, gallonsByFire } from '../../dashboards/charts/gallons-by-fire.ts'
import { quantity } from '../../dashboards/units.ts'
import { type Asking, sum, tableOf, totals } from './asking.ts'
import { type Block, type Section, text } from './block.ts'
import { chartOf } from './chart.ts'
import { placeMap } from './place-map.ts'

/** Where the volume went, when, and at what cost in hours. */
export async function fires(asking: Asking): Promise<Section> {
  const { look } = asking
  const columns = [
    'fire',
    'name',
    'drops',
    'gallons',
    'retardant_gal',
    'water_gal',
    'gel_gal',
    'foam_gal',
    'flight_hours',
    'gallons_per_flight_hour',
  ]
  const summed = ['drops', 'gallons', 'retardant_gal', 'water_gal', 'gel_gal', 'foam_gal', 'flight_hours']
  const blocks = await asking.blocks('gallons-by-fire', async (answer) => [
    chartOf(gallonsByFire, answer.rows as unknown as FireRow[], look),
    ...(await placeMap(asking)),
    ...(await cumulative(asking)),
    tableOf(answer, 'Gallons per fire', columns, { total: totals(answer, summed, 'fire') }),
  ])
  const hours = await asking.blocks('hours-by-fire', (answer) => {
    const idle = answer.rows.find((row) => row.fire === 'no drop')
    const all = sum(answer.rows, 'flight_hours')
    return [
      text(
        `With ${quantity(Number(idle?.flight_hours ?? 0), 'hours', look.units)} of flights that dropped on no fire, the hours add up to all ${quantity(all, 'hours', look.units)} airborne.`,
      ),
    ]
  })
  return { title: 'Fires', blocks: [...blocks, ...hours] }
}

async function cumulative(asking: Asking): Promise<Block[]> {
  const answer = await asking.ask('gallons-by-fire-day')
  if (answer === null || answer.rows.length === 0) return []
  return [chartOf(cumulativeByFire, answer.rows as unknown as FireDayRow[], asking.look)]
}
