import { expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'

const day = (minutes: number) => new Date(Date.UTC(2026, 6, 8, 18, minutes)).toISOString().replace('.000', '')

/** A load of 2,000 gal, a flight without a drop on record, and the next fill with what the gauge saw before it. */
async function foundWith(before: number): Promise<string[]> {
  const house = await House.open()
  await house.ingest(
    await folderOf({
      'aircraft.csv': 'registration\nN802ZY\n',
      'tank.csv': 'serial,capacity_gal,doors\nK-2,2000,2\n',
      'mounting.csv': 'tank,aircraft,on_at\nK-2,N802ZY,2026-05-01T00:00:00Z\n',
      'base.csv': 'code,zone\nJUN,America/Boise\n',
      'load.csv': `loaded_at,aircraft,base,volume_gal,fluid,witness,gauge_before_gal,gauge_after_gal
${day(0)},N802ZY,JUN,2000,water,controller,0,2000
${day(80)},N802ZY,JUN,${2000 - before},water,controller,${before},2000
`,
      'flight.csv': `off_at,on_at,aircraft\n${day(10)},${day(60)},N802ZY\n${day(90)},${day(120)},N802ZY\n`,
      'drop.csv': `dropped_at,aircraft,volume_gal,purpose,witness\n${day(100)},N802ZY,2000,fire,controller\n`,
    }),
  )
  const found = await house.rows<{ finding: string }>('findings')
  await house.close()
  return found.map((row) => row.finding).sort()
}

test('a flight after which the gauge still saw most of the fluid carried it over; what left is told as a release alone', async () => {
  expect(await foundWith(0)).toEqual(['flight-without-drop', 'unrecorded-release'])
  expect(await foundWith(300)).toEqual(['flight-without-drop', 'unrecorded-release'])
  expect(await foundWith(1500)).toEqual(['unrecorded-release'])
  expect(await foundWith(2000)).toEqual([])
})
