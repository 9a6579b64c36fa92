import { afterAll, describe, expect, test } from 'vitest'
import { draftProfile, foundFile, isProblem, type Profile, parseProfile } from '../../src/sources/index.ts'
import { Workbench } from './workbench.ts'

const bench = new Workbench()
afterAll(() => bench.close())

async function drafted(
  name: string,
  text: string,
): Promise<{ profile: Profile; notes: string; path: string }> {
  const path = bench.write(name, text)
  const draft = await draftProfile(await foundFile(path))
  if (isProblem(draft)) throw new Error(draft.what)
  const profile = parseProfile(draft, path)
  if (isProblem(profile)) throw new Error(profile.what)
  return { profile, notes: (JSON.parse(draft) as { notes: string[] }).notes.join('\n'), path }
}

const fieldsOf = (profile: Profile, index = 0) =>
  Object.fromEntries(
    profile.records[index]!.fields.map(({ field, from, formats, unit }) => [
      field,
      [from.join('+'), ...formats, ...(unit ? [unit] : [])].join(' '),
    ]),
  )

describe('a draft', () => {
  test('of a drop sheet knows the trade words, the formats and what it does not know', async () => {
    const text =
      'North Base,,,,,,,,,\nDate,Time,Tanker,Incident,Gals,Split,CL,Lat,Long,Remarks\n07/14/2026,1830,101,Otter,"2,850",1/2,4,43 00.600N,115 00.000W,\n07/15/2026,0905,101,Otter,900,full,6,43 00.600N,115 00.000W,hot\n'
    const { profile, notes, path } = await drafted('north-2026-07.csv', text)
    expect(profile).toMatchObject({ name: 'north', csv: { delimiter: ',', skip: 1 }, zone: { name: 'UTC' } })
    expect(profile.records[0]!.kind).toBe('drop')
    expect(fieldsOf(profile)).toEqual({
      dropped_at: 'Date+Time %m/%d/%Y %H%M',
      aircraft: 'Tanker',
      volume: 'Gals gal_us',
      coverage_level: 'CL',
      fraction: 'Split',
      fire: 'Incident',
      position: 'Lat+Long',
    })
    expect(notes).toMatch(/zone: UTC is a placeholder/)
    expect(notes).toMatch(/not read: Remarks/)
    expect(notes).not.toMatch(/other way round/)
    expect(await bench.recognize(path, [profile])).toMatchObject({
      profile: { name: 'north' },
      headerLine: 2,
    })
  })

  test('of a loading list in litres with decimal commas', async () => {
    const text =
      'Ticket;Base;Tail;Loaded At;Litres;Product;Gauge Before;Gauge After\nA-1;JUN;N801ZY;04.07.2026 18:30;7570,5;LC95;0,0;7570,5\n'
    const { profile, notes } = await drafted('loads.csv', text)
    expect(profile).toMatchObject({ decimal: ',', csv: { delimiter: ';' } })
    expect(profile.records[0]!.kind).toBe('load')
    expect(fieldsOf(profile)).toMatchObject({
      loaded_at: 'Loaded At %d.%m.%Y %H:%M',
      aircraft: 'Tail',
      base: 'Base',
      ticket: 'Ticket',
      volume: 'Litres L',
      fluid: 'Product',
      gauge_before: 'Gauge Before gal_us',
      gauge_after: 'Gauge After gal_us',
    })
    expect(notes).toMatch(/the unit of 'Gauge Before' is taken to be gal_us/)
  })

  test('of litres with points for thousands and a comma before the decimals', async () => {
    const head = 'When;Tanker;Litres;Split\n'
    const rows = '2026-07-03T14:05Z;T11;2.270,5;1/2\n2026-07-03T14:09Z;T11;4.500;full\n'
    expect((await drafted('litres.csv', head + rows)).profile).toMatchObject({ decimal: ',' })
    const plain = await drafted('litres.csv', `${head}2026-07-03T14:05Z;T11;2,270.5;1/2\n`)
    expect(plain.profile.decimal).not.toBe(',')
  })

  test('of a flight log says that day and month may be swapped', async () => {
    const { profile, notes } = await drafted(
      'flights.csv',
      'Date,A/C,Off,On,Hobbs\n04/07/2026,101,18:10,19:10,1.0\n',
    )
    expect(profile.records[0]!.kind).toBe('flight')
    expect(fieldsOf(profile)).toMatchObject({
      off_at: 'Date+Off %m/%d/%Y %H:%M',
      on_at: 'Date+On %m/%d/%Y %H:%M',
      aircraft: 'A/C',
      hours: 'Hobbs',
    })
    expect(notes).toMatch(/month and day could be the other way round/)
  })

  test('of a download with several kinds of line tells them apart', async () => {
    const text =
      'Timestamp,Reg,Event,Vol gal,No\n2026-07-04T18:00:00Z,N801ZY,FILL,2000,1\n2026-07-04T18:30:20Z,N801ZY,DROP,980,2\n2026-07-04T18:31:00Z,N801ZY,BOOT,,3\n2026-07-04T18:32:00Z,N801ZY,ODD,,4\n'
    const { profile, notes } = await drafted('unit.csv', text)
    expect(profile.records.map(({ kind, where }) => [kind, where])).toEqual([
      ['load', { Event: ['FILL'] }],
      ['drop', { Event: ['DROP'] }],
    ])
    expect(profile.ignore).toEqual({ Event: ['BOOT'] })
    expect(profile.zone).toBeNull()
    expect(notes).toMatch(/also holds 'ODD'/)
  })

  test('of a tracker file in JSON lines', async () => {
    const { profile } = await drafted(
      'track.jsonl',
      '{"ts":1783189820,"reg":"N801ZY","lat":43.01,"lon":-115,"alt":5200,"gs":140,"when":1783189820}\n',
    )
    expect(profile).toMatchObject({ format: 'jsonl' })
    expect(profile.records[0]!.kind).toBe('position')
    expect(fieldsOf(profile)).toMatchObject({
      aircraft: 'reg',
      seen_at: 'when epoch_s',
      position: 'lat+lon',
      altitude: 'alt ft',
      groundspeed: 'gs kt',
    })
  })

  test('of a registry list under its own column names', async () => {
    const { profile } = await drafted('tanks.csv', 'Serial,Capacity,Doors,Colour\nK-1,2000,2,red\n')
    expect(profile.records[0]!.kind).toBe('tank')
    expect(fieldsOf(profile)).toEqual({ serial: 'Serial', capacity: 'Capacity gal_us', doors: 'Doors' })
  })

  test.each([
    ['nothing that is known', 'Foo,Bar\n1,2\n'],
    ['a header alone', 'Date,Time,Tanker\n'],
    ['a header twice and one without a name', 'Date,Gals,,Gals\n2026-07-04,1,2,3\n'],
  ])('of %s still parses and says what is missing', async (_, text) => {
    const { profile, notes } = await drafted('odd.csv', text)
    expect(profile.records).toHaveLength(1)
    expect(notes).toMatch(/no column seems to hold|no times were there/)
  })

  test('of an empty file is refused', async () => {
    expect(await draftProfile(await foundFile(bench.write('empty.csv', '')))).toMatchObject({
      what: 'the file is empty',
    })
  })
})
