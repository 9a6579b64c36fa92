import { expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'

const flights = (aircraft: string): string =>
  ['14', '16']
    .map((hour) => `2026-07-10T${hour}:00:00Z,2026-07-10T${hour}:50:00Z,${aircraft},tracker\n`)
    .join('')

test('an aircraft that flew and of which neither crew nor controller ever wrote a line has not reported', async () => {
  const house = await House.open()
  await house.ingest(
    await folderOf({
      'aircraft.csv': 'registration\nN701QZ\nN702QZ\n',
      'flight.csv': `off_at,on_at,aircraft,witness\n${flights('N701QZ')}${flights('N702QZ')}`,
      'drop.csv':
        'dropped_at,aircraft,volume_gal,witness,record\n2026-07-10T14:20:00Z,N702QZ,500,controller,7\n',
    }),
  )
  const rows = await house.rows<{ aircraft: string; witness: string; flights: number; events: number }>(
    'completeness',
  )
  expect(rows.map((row) => [row.aircraft, row.witness, row.flights, row.events])).toEqual([
    ['N701QZ', 'crew', 2, 0],
    ['N702QZ', 'controller', 2, 1],
  ])
  await house.close()
})
