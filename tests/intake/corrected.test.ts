import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import { fullSchema } from '../../src/commands/schema.ts'
import { ingest, rebuildObservations } from '../../src/intake/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'
import { folderOf } from './folder.ts'

const folders: string[] = []
afterAll(async () => {
  for (const folder of folders) await rm(folder, { recursive: true, force: true })
})

const head = 'dropped_at,aircraft,volume_gal,fire'
const good = (minute: number) =>
  `2026-07-04T20:${String(minute).padStart(2, '0')}:00Z,N801ZY,${800 + minute},Elm Creek`
const bad = '2026-07-04T20:75:00Z,N801ZY,815,Elm Creek'
const mended = good(15)

interface Waiting {
  waiting: string[]
  fates: string[]
  accepted: number
}

/** Sends files one after the other, each in a run of its own, and says what waits in quarantine afterwards. */
async function send(files: Record<string, readonly string[]>, profile?: object): Promise<Waiting> {
  const logs = await folderOf({
    'aircraft.csv': 'registration\nN801ZY\n',
    ...Object.fromEntries(
      Object.entries(files).map(([name, lines]) => [name, `${[head, ...lines].join('\n')}\n`]),
    ),
    ...(profile ? { 'sheet.profile.json': JSON.stringify(profile) } : {}),
  })
  folders.push(logs)
  const warehouse = await Warehouse.memory(fullSchema)
  const profiles = profile ? [join(logs, 'sheet.profile.json')] : []
  for (const name of ['aircraft.csv', ...Object.keys(files)])
    await ingest(warehouse, [join(logs, name)], profiles, { now: () => new Date('2026-09-01') })
  const state = await stateOf(warehouse)
  await rebuildObservations(warehouse)
  expect(await stateOf(warehouse), 'a rebuild gives the same').toEqual(state)
  await warehouse.close()
  return state
}

async function stateOf(warehouse: Warehouse): Promise<Waiting> {
  const waiting = await warehouse.rows<{ text: string }>(
    'SELECT coalesce(text, reason) AS text FROM obs.waiting ORDER BY file_no, line',
  )
  const files = await warehouse.rows<{ fates: string; read: number; sum: number }>(
    `SELECT concat_ws(' ', read, accepted, duplicate, superseded, quarantined) AS fates, read,
       accepted + duplicate + superseded + quarantined AS sum FROM raw.file WHERE path NOT LIKE '%aircraft.csv' ORDER BY file_no`,
  )
  for (const file of files) expect(file.read).toBe(file.sum)
  return {
    waiting: waiting.map((row) => row.text),
    fates: files.map((file) => file.fates),
    accepted: Number(await warehouse.value("SELECT count(*) FROM obs.drop WHERE fate = 'accepted'")),
  }
}

const first = [good(1), good(2), bad, good(3), good(4)]

describe('a line in quarantine that a later file says otherwise waits no more', () => {
  // read, accepted, duplicate, superseded, quarantined
  test('the same sheet with the line mended', async () => {
    expect(await send({ 'a.csv': first, 'b.csv': first.with(2, mended) })).toEqual({
      waiting: [],
      fates: ['5 4 0 1 0', '5 1 4 0 0'],
      accepted: 5,
    })
  })

  test('a sheet that grew meanwhile', async () => {
    const state = await send({ 'a.csv': first, 'b.csv': [...first.with(2, mended), good(30), good(31)] })
    expect(state).toMatchObject({ waiting: [], fates: ['5 4 0 1 0', '7 3 4 0 0'] })
  })

  test('the first line, and the last', async () => {
    expect(
      (await send({ 'a.csv': [bad, good(1), good(2)], 'b.csv': [mended, good(1), good(2)] })).waiting,
    ).toEqual([])
    expect(
      (await send({ 'a.csv': [good(1), good(2), bad], 'b.csv': [good(1), good(2), mended, good(40)] }))
        .waiting,
    ).toEqual([])
  })

  test('two lines one after the other', async () => {
    const other = bad.replace('815', '816')
    const sheet = [good(1), bad, other, good(3)]
    expect((await send({ 'a.csv': sheet, 'b.csv': sheet.with(1, mended) })).waiting).toEqual([
      '2026-07-04T20:75:00Z',
    ])
    expect(
      (await send({ 'a.csv': sheet, 'b.csv': sheet.with(1, mended).with(2, good(16)) })).waiting,
    ).toEqual([])
  })

  test('mended wrongly: the new line waits in its place', async () => {
    const wrong = bad.replace('20:75', '20:85')
    expect(await send({ 'a.csv': first, 'b.csv': first.with(2, wrong) })).toMatchObject({
      waiting: ['2026-07-04T20:85:00Z'],
      fates: ['5 4 0 1 0', '5 0 4 0 1'],
    })
  })

  test('a line with a cell too many', async () => {
    const ragged = `${mended},,surplus`
    expect(await send({ 'a.csv': first.with(2, ragged), 'b.csv': first.with(2, mended) })).toMatchObject({
      waiting: [],
      fates: ['5 4 0 1 0', '5 1 4 0 0'],
    })
  })

  test('the latest sheet decides: sent again as it was, the line waits again', async () => {
    const state = await send({
      'a.csv': first,
      'b.csv': first.with(2, mended),
      'c.csv': [...first, good(50)],
    })
    expect(state.waiting).toEqual(['2026-07-04T20:75:00Z'])
    const again = await send({
      'a.csv': first,
      'b.csv': [...first, good(50)],
      'c.csv': [...first.with(2, mended), good(50)],
    })
    expect(again).toMatchObject({ waiting: [], fates: ['5 4 0 1 0', '6 1 5 0 0', '6 1 5 0 0'] })
  })
})

describe('otherwise it waits on', () => {
  test('a sheet that only repeats it', async () => {
    expect(await send({ 'a.csv': first, 'b.csv': [...first, good(9)] })).toMatchObject({
      waiting: ['2026-07-04T20:75:00Z'],
      fates: ['5 4 0 0 1', '6 1 5 0 0'],
    })
  })

  test('another sheet of the same profile', async () => {
    expect((await send({ 'a.csv': first, 'b.csv': [good(20), good(21)] })).waiting).toHaveLength(1)
  })

  test('a sheet from which it is gone, with nothing like it in its place', async () => {
    expect((await send({ 'a.csv': first, 'b.csv': first.toSpliced(2, 1) })).waiting).toHaveLength(1)
    const other = '2026-07-05T01:10:00Z,N802ZY,2400,Other'
    expect(
      (await send({ 'a.csv': first, 'b.csv': first.with(2, other) })).waiting.length,
    ).toBeGreaterThanOrEqual(1)
  })

  test('but not where each sheet is the whole', async () => {
    const headers = head.split(',')
    const fields = Object.fromEntries(headers.map((name) => [name, { from: name }]))
    const profile = { profile: 'sheet', sends: 'whole', headers, records: [{ kind: 'drop', fields }] }
    const state = await send({ 'a.csv': first, 'b.csv': first.toSpliced(2, 1) }, profile)
    expect(state).toMatchObject({ waiting: [], fates: ['5 4 0 1 0', '4 0 4 0 0'] })
  })
})
