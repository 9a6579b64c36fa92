import { readdirSync, rmSync, writeFileSync } from 'node:fs'
import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { fullSchema } from '../../src/commands/schema.ts'
import { ingest } from '../../src/intake/index.ts'
import { Layouts, landRows } from '../../src/intake/land.ts'
import { canonicalProfiles, foundFile, isProblem, prepare, recognize } from '../../src/sources/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'
import { folderOf } from './folder.ts'

const folders: string[] = []
afterAll(async () => {
  for (const folder of folders) await rm(folder, { recursive: true, force: true })
})
const folder = async (files: Record<string, string>) => {
  const made = await folderOf(files)
  folders.push(made)
  return made
}
const head = 'dropped_at,aircraft,volume_gal\n'
const row = (minute: number) => `2026-07-04T20:0${minute}:00Z,N801ZY,800\n`
const now = () => new Date('2026-09-01')

test('a file that goes away in the middle of a run is named, and the rest lands', async () => {
  const logs = await folder({
    'aircraft.csv': 'registration\nN801ZY\n',
    'drop-1.csv': head + row(1),
    'drop-2.csv': head + row(2),
    'drop-3.csv': head + row(3),
  })
  const warehouse = await Warehouse.memory(fullSchema)
  const onProgress = (_: number, __: number, path: string) => {
    if (path.endsWith('drop-2.csv')) rmSync(path)
  }
  const report = await ingest(warehouse, [logs], [], { now, onProgress })
  const lost = report.files.find((file) => file.path.endsWith('drop-2.csv'))!
  expect(lost).toMatchObject({ profile: null, read: 0 })
  expect(lost.problem).toMatch(/drop-2\.csv: there is no such file/)
  expect(report.totals).toMatchObject({ read: 3, accepted: 3 })
  await warehouse.close()
})

test('a file that changes between the look at it and its reading gives nothing', async () => {
  const path = join(await folder({ 'drop.csv': head + row(1) + row(2) }), 'drop.csv')
  const file = await foundFile(path)
  const recognized = await recognize(file, canonicalProfiles())
  if (isProblem(recognized)) throw new Error(recognized.what)
  const landing = await prepare(file, recognized, join(path, '..', 'scratch'))
  if (isProblem(landing)) throw new Error(landing.what)
  const warehouse = await Warehouse.memory(fullSchema)
  const layoutNo = await (await Layouts.read(warehouse)).of(landing)
  const rows = () => warehouse.value(`SELECT count(*)::INTEGER FROM raw.layout_${layoutNo}`)
  const land = () => landRows(warehouse, 1, layoutNo, file, recognized, landing)
  expect(await land()).toBeNull()
  expect(await rows()).toBe(2)
  await warehouse.run(`DELETE FROM raw.layout_${layoutNo}`)
  // Fewer rows than were counted, in a file that looks the same.
  const short = { ...landing, rowCount: 3 }
  expect(await landRows(warehouse, 1, layoutNo, file, recognized, short)).toMatchObject({
    path,
    what: expect.stringMatching(/changed or went away/),
  })
  expect(await rows()).toBe(0)
  writeFileSync(path, head + row(1))
  expect(await land()).toMatchObject({ what: expect.stringMatching(/changed or went away/) })
  rmSync(path)
  expect(await land()).toMatchObject({ what: expect.stringMatching(/changed or went away/) })
  expect(await rows()).toBe(0)
  await warehouse.close()
})

test('bytes that can no longer be kept are a note on their file, whose rows stand; sent again, they are kept', async () => {
  const logs = await folder({ 'aircraft.csv': 'registration\nN801ZY\n', 'drop.csv': head + row(1) })
  const home = await folder({})
  const warehouse = await Warehouse.open(join(home, 'wh'), fullSchema)
  const trouble = { path: 'drop.csv', line: null, what: 'it went away', fix: 'send it again' }
  const keep = async () => trouble
  const first = await ingest(warehouse, [logs], [], { now, keep })
  expect(first.totals.accepted).toBe(2)
  expect(first.files.map((file) => file.problem)).toEqual(
    Array(2).fill('drop.csv: it went away; send it again'),
  )
  const again = await ingest(warehouse, [logs], [], { now })
  expect(again.totals.duplicate).toBe(2)
  expect(readdirSync(join(home, 'wh', 'files'))).toHaveLength(2)
  await warehouse.close()
})

test('lines of a file large enough to be read by all threads are counted as in a small one', async () => {
  const count = 400_000
  const lines = Array.from({ length: count }, (_, i) => `2026-07-04T20:00:00Z,N${i},${i % 7}\n`)
  const logs = await folder({ 'drop.csv': `${head}${lines.join('')}` })
  const warehouse = await Warehouse.memory(fullSchema)
  const report = await ingest(warehouse, [logs], [], { now, keep: async () => null })
  expect(report.totals).toMatchObject({ read: count, quarantined: count })
  const odd = await warehouse.value(
    "SELECT count(*)::INTEGER FROM raw.layout_1 WHERE c2 <> 'N' || (line - 2) OR line IS NULL",
  )
  expect(odd).toBe(0)
  expect(await warehouse.value('SELECT max(line) FROM raw.layout_1')).toBe(count + 1)
  await warehouse.close()
}, 60_000)
