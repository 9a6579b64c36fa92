import { rm } from 'node:fs/promises'
import { afterAll, expect, test } from 'vitest'
import { fullSchema } from '../../src/commands/schema.ts'
import { ingest } from '../../src/intake/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'
import { folderOf } from './folder.ts'

const warehouse = await Warehouse.memory(fullSchema)
const folders: string[] = []
afterAll(async () => {
  await warehouse.close()
  for (const folder of folders) await rm(folder, { recursive: true, force: true })
})

const take = async (files: Record<string, string>) => {
  const folder = await folderOf(files)
  folders.push(folder)
  const { files: reports } = await ingest(warehouse, [folder], [], { now: () => new Date('2026-09-01') })
  return reports.map(({ read, accepted, duplicate, superseded, quarantined }) => [
    read,
    accepted,
    duplicate,
    superseded,
    quarantined,
  ])
}
const head = 'loaded_at,aircraft,base,ticket,volume_gal\n'

test('a ticket written in another way is the same ticket: the later row corrects it', async () => {
  await take({
    'aircraft.csv': 'registration\nN801ZY\n',
    'base.csv': 'code,zone\nALFA,America/Denver\nBRAVO,America/Denver\n',
  })
  const first = await take({
    'load-1.csv': `${head}2026-07-04T18:00:00Z,N801ZY,ALFA,T-0045,2000\n2026-07-04T19:00:00Z,N801ZY,BRAVO,T-0045,2100\n`,
  })
  expect(first).toEqual([[2, 2, 0, 0, 0]])
  const later = await take({ 'load-2.csv': `${head}2026-07-04T18:00:00Z,N801ZY,ALFA,t45,1950\n` })
  expect(later).toEqual([[1, 1, 0, 0, 0]])
  expect(
    await warehouse.rows('SELECT base, ticket, volume_gal, fate FROM obs.load ORDER BY file_no, line_no'),
  ).toEqual([
    { base: 'ALFA', ticket: 'T-0045', volume_gal: 2000, fate: 'superseded' },
    { base: 'BRAVO', ticket: 'T-0045', volume_gal: 2100, fate: 'accepted' },
    { base: 'ALFA', ticket: 't45', volume_gal: 1950, fate: 'accepted' },
  ])
})

test('a row in quarantine says what is wrong each time it is tried, and once', async () => {
  const row = '2026-07-05T18:00:00Z,N802ZY,ALFA,77,2000\n'
  expect(await take({ 'load-3.csv': head + row })).toEqual([[1, 0, 0, 0, 1]])
  const held = () =>
    warehouse.rows("SELECT field, text, reason FROM obs.quarantine WHERE text = 'N802ZY' ORDER BY file_no")
  const before = await held()
  expect(before).toHaveLength(1)
  expect(before[0]!.reason).toMatch(/^no aircraft on record is called N802ZY/)
  // The registry learns of another aircraft: the row is tried again, and stays.
  await take({ 'aircraft-2.csv': 'registration\nN803ZY\n' })
  expect(await held()).toHaveLength(1)
  await take({ 'aircraft-3.csv': 'registration\nN802ZY\n' })
  expect(await held()).toEqual([])
  expect(await warehouse.rows("SELECT aircraft, fate FROM obs.load WHERE ticket = '77'")).toEqual([
    { aircraft: 'N802ZY', fate: 'accepted' },
  ])
})

test('a ticket that now names another aircraft changes the days of the one that it named; a new one but its own', async () => {
  const touchedBy = async (name: string, rows: string) => {
    await warehouse.run('DELETE FROM obs.pending')
    await take({ [name]: head + rows })
    return warehouse.rows('SELECT DISTINCT aircraft, first_at::VARCHAR AS at FROM obs.pending ORDER BY ALL')
  }
  expect(await touchedBy('load-4.csv', '2026-07-06T18:00:00Z,N801ZY,ALFA,88,2000\n')).toEqual([
    { aircraft: 'N801ZY', at: '2026-07-06 18:00:00' },
  ])
  expect(await touchedBy('load-5.csv', '2026-07-06T18:00:00Z,N803ZY,ALFA,88,2000\n')).toEqual([
    { aircraft: 'N801ZY', at: '2026-07-06 18:00:00' },
    { aircraft: 'N803ZY', at: '2026-07-06 18:00:00' },
  ])
})
