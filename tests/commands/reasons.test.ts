import { expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'

const profile = {
  profile: 'slips',
  format: 'csv',
  headers: ['Filled', 'AC', 'Base', 'Gals'],
  zone: { from: 'base' },
  records: [
    {
      kind: 'load',
      witness: 'ticket',
      fields: {
        loaded_at: { from: 'Filled', format: ['%Y-%m-%d %H:%M'] },
        aircraft: { from: 'AC' },
        base: { from: 'Base' },
        volume: { from: 'Gals', unit: 'gal_us' },
      },
    },
  ],
}

test('a time in the zone of an unknown base waits for the base, and the reason says so', async () => {
  const house = await House.open()
  await house.ingest(
    await folderOf({
      'aircraft.csv': 'registration\nN701QZ\n',
      'profiles/slips.json': JSON.stringify(profile),
      'slips.csv': 'Filled,AC,Base,Gals\n2026-07-05 10:00,N701QZ,OAK,900\n',
    }),
  )
  const [row] = await house.rows<{ field: string; reason: string }>('quarantine')
  expect(row).toMatchObject({ field: 'Filled', reason: expect.stringContaining('add the base, or an alias') })
  await house.ingest(await folderOf({ 'base.csv': 'code,name,zone\nOAK,Oak Flat,America/Denver\n' }))
  expect(await house.rows('quarantine')).toEqual([])
  expect(await house.rows('loads')).toMatchObject([{ loaded_at: '2026-07-05T16:00:00Z', base: 'OAK' }])
  await house.close()
})

test('a path that is not there fails on standard error, whole', async () => {
  const house = await House.open()
  const { code, out, err } = await house.say('ingest', '/no/such/folder-of-logs')
  expect([code, out]).toEqual([1, ''])
  expect(err).toMatch(/^\/no\/such\/folder-of-logs: there is no such file or folder; check the spelling/)
  await house.close()
})
