import { mkdtemp, readFile, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'
import { workedExampleFiles } from '../simulator/worked-example.ts'

let house: House
let scratch: string

beforeAll(async () => {
  scratch = await mkdtemp(join(tmpdir(), 'gallonage-commands-'))
  house = await House.open()
  await house.ingest(
    await folderOf(Object.fromEntries(workedExampleFiles.map((file) => [file.path, file.text]))),
  )
})
afterAll(() => house.close())

describe('usage', () => {
  test('a mistyped command, option, question, param and kind are answered with the nearest name, exit 2', async () => {
    const cases: [string[], RegExp][] = [
      [['ingset'], /did you mean ingest\?/],
      [['query', 'gallons-by-fires'], /did you mean gallons-by-fire\?/],
      [['query', 'drops', '--fromat', 'csv'], /did you mean --format\?/],
      [['query', 'drops', '--param', 'aircrft=N801ZY'], /did you mean aircraft\?/],
      [['query', 'drops', '--param', 'from=2026-02-30'], /2026-02-30/],
      [['evidence', 'dorp', 'x'], /did you mean drop\?/],
      [['ingest'], /name at least one file or folder/],
      [['report', 'seasons', '--out', 'x.pdf'], /did you mean season\?/],
    ]
    for (const [argv, words] of cases) {
      const said = await house.say(...argv)
      expect({ argv, code: said.code }).toEqual({ argv, code: 2 })
      expect(said.err).toMatch(words)
      expect(said.err).not.toMatch(/\n\s+at /)
      expect(said.out).toBe('')
    }
  })

  test('options for every command may stand before its name', async () => {
    const { verbFirst } = await import('../../src/commands/arguments.ts')
    expect(verbFirst(['--warehouse', 'w', '--json', 'query', 'drops', '--quiet'])).toEqual([
      'query',
      '--warehouse',
      'w',
      '--json',
      'drops',
      '--quiet',
    ])
    expect(verbFirst(['--warehouse=w', 'due'])).toEqual(['due', '--warehouse=w'])
    expect(verbFirst(['--version'])).toEqual(['--version'])
    const said = await house.say('--json', 'query', 'volume-by-purpose')
    expect(said.code).toBe(0)
    expect(JSON.parse(said.out)).toHaveLength(3)
  })

  test('what is not there fails with one line, exit 1', async () => {
    for (const argv of [
      ['evidence', 'drop', 'D-NONE'],
      ['alias', 'aircraft', 'N999QX', 'Nine', '--reason', 'test', '--by', 'A'],
      ['amend', 'undo', '99', '--reason', 'test', '--by', 'A'],
    ]) {
      const said = await house.say(...argv)
      expect({ argv, code: said.code }).toEqual({ argv, code: 1 })
      expect(said.err.trimEnd().split('\n')).toHaveLength(1)
    }
  })

  test('every command explains itself with an example', async () => {
    const { verbNames } = await import('../../src/commands/verb-names.ts')
    for (const verb of Object.keys(verbNames)) {
      const said = await house.say(verb, '--help')
      expect({ verb, code: said.code }).toEqual({ verb, code: 0 })
      expect(said.out).toContain(`gallonage ${verb}`)
      expect(said.out).toContain('examples:')
    }
  })
})

describe('formats', () => {
  test('json is one document, csv has a header, xlsx and arrow are what they say', async () => {
    expect(JSON.parse((await house.say('query', 'drops', '--json')).out)).toHaveLength(5)
    expect((await house.say('query', 'drops', '--format', 'csv')).out.split('\r\n')[0]).toMatch(
      /^drop,dropped_at,aircraft/,
    )
    const files = { xlsx: 'PK', arrow: 'ARROW1', parquet: 'PAR1' }
    for (const [ending, magic] of Object.entries(files)) {
      const path = join(scratch, `drops.${ending}`)
      expect((await house.say('query', 'drops', '--out', path)).code).toBe(0)
      expect((await readFile(path)).subarray(0, magic.length).toString('latin1')).toBe(magic)
    }
  })

  test('positions leave as GeoJSON (RFC 7946: longitude first, no crs)', async () => {
    expect((await house.say('export', '--format', 'geojson', '--out', scratch)).code).toBe(0)
    const { type, features, ...rest } = JSON.parse(await readFile(join(scratch, 'drops.geojson'), 'utf8'))
    expect(type).toBe('FeatureCollection')
    expect(rest).toEqual({})
    expect(features.map((one: { geometry: unknown }) => one.geometry)).toEqual([
      { type: 'Point', coordinates: [-115, 43.01] },
    ])
  })
})

describe('ingest', () => {
  const stranger =
    'dropped_at,aircraft,volume_gal\n2026-07-05T18:00:00Z,N999QX,100\n2026-07-05T18:30:00Z,N801ZY,900\n'

  test('a dry run writes nothing', async () => {
    const folder = await folderOf({ 'drop.csv': stranger })
    const said = await house.say('ingest', folder, '--dry-run', '--json')
    expect(JSON.parse(said.out).totals).toEqual({
      read: 2,
      accepted: 1,
      duplicate: 0,
      superseded: 0,
      quarantined: 1,
    })
    expect(await house.rows('quarantine')).toEqual([])
    expect(await house.rows('drops')).toHaveLength(5)
  })

  test('--strict exits 3, and the quarantined row counts once its aircraft has a name', async () => {
    const own = await House.open()
    await own.ingest(
      await folderOf(Object.fromEntries(workedExampleFiles.map((file) => [file.path, file.text]))),
    )
    const folder = await folderOf({ 'drop.csv': stranger })
    expect((await own.say('ingest', folder, '--strict')).code).toBe(3)
    expect(await own.rows('quarantine')).toMatchObject([{ line: 2, field: 'aircraft', text: 'N999QX' }])
    expect(
      (await own.say('alias', 'aircraft', 'N802ZY', 'N999QX', '--reason', 'old mark', '--by', 'A. Planner'))
        .code,
    ).toBe(0)
    expect(await own.rows('quarantine')).toEqual([])
    expect((await own.rows('drops', 'aircraft=N802ZY')).map((row) => row.volume_gal).sort()).toEqual([0, 100])
    const arrivals = await own.rows<{ path: string }>('arrivals')
    expect(arrivals.find((row) => row.path.startsWith(folder))).toMatchObject({
      read: 2,
      accepted: 2,
      quarantined: 0,
    })
    expect((await own.say('verify')).code).toBe(0)
    await own.close()
  })

  test('a revised profile reads its files again', async () => {
    const own = await House.open()
    const profile = (unit: string) =>
      JSON.stringify({
        profile: 'sheet',
        format: 'csv',
        headers: ['When', 'Ship', 'Vol'],
        zone: 'UTC',
        records: [
          {
            kind: 'drop',
            witness: 'crew',
            fields: {
              dropped_at: { from: 'When' },
              aircraft: { from: 'Ship' },
              volume: { from: 'Vol', unit },
            },
          },
        ],
      })
    const sheet = {
      'aircraft.csv': 'registration\nN801ZY\n',
      'sheet.csv': 'When,Ship,Vol\n2026-07-05T18:30:00Z,N801ZY,1000\n',
    }
    await own.ingest(await folderOf({ ...sheet, 'profiles/sheet.json': profile('gal_us') }))
    expect(await own.rows('drops')).toMatchObject([{ volume_gal: 1000 }])
    await own.ingest(await folderOf({ ...sheet, 'profiles/sheet.json': profile('L') }))
    const [drop] = await own.rows<{ volume_gal: number }>('drops')
    expect(drop!.volume_gal).toBeCloseTo(264.1720524, 6)
    expect((await own.say('verify')).code).toBe(0)
    await own.close()
  })
})

describe('amendments', () => {
  test('a field is amended, shown, and given back by undoing it', async () => {
    const own = await House.open()
    await own.ingest(
      await folderOf(Object.fromEntries(workedExampleFiles.map((file) => [file.path, file.text]))),
    )
    const [first] = await own.rows<{ drop: string; dropped_at: string }>('drops')
    const read = async () => JSON.parse((await own.say('evidence', 'drop', first!.drop, '--json')).out)
    const { obs } = (await read()).observations.find(
      (row: { witness: string }) => row.witness === 'controller',
    )
    expect(
      (
        await own.say(
          'amend',
          'set',
          obs,
          '--field',
          'volume_gal',
          '--value',
          '900',
          '--by',
          'A',
          '--reason',
          '',
        )
      ).code,
    ).toBe(2)
    expect(
      (
        await own.say(
          'amend',
          'set',
          obs,
          '--field',
          'volume_gal',
          '--value',
          '900',
          '--by',
          'A',
          '--reason',
          'gauge misread',
        )
      ).code,
    ).toBe(0)
    expect((await own.rows('drops'))[0]).toMatchObject({ volume_gal: 900 })
    const set = (field: string, ...value: string[]) =>
      own.say('amend', 'set', obs, '--field', field, ...value, '--by', 'A', '--reason', 'gauge misread')
    for (const [field, value, words] of [
      ['volume_gal', 'abc', "volume_gal cannot be 'abc'; write a plain number from 0 to 100000"],
      ['volume_gal', '-5', "volume_gal cannot be '-5'"],
      ['dropped_at', 'yesterday', 'write a time such as 2026-07-04T18:30:20Z'],
      ['purpose', 'fir', 'it is one of fire, jettison'],
      ['aircraft', 'N999ZY', 'write a registration that is on record'],
    ] as const)
      expect(await set(field, '--value', value)).toMatchObject({
        code: 1,
        err: expect.stringContaining(words),
      })
    expect((await set('aircraft')).err).toContain('cannot be unknown')
    expect((await own.say('amend', 'list')).out).toMatch(
      /A: set-field \S+ drop volume_gal = 900 \(gauge misread\)/,
    )
    expect((await read()).amendments).toMatchObject([
      { action: 'set-field', made_by: 'A', reason: 'gauge misread', undone: false },
    ])
    expect((await own.say('verify')).code).toBe(0)
    expect((await own.say('amend', 'undo', '1', '--reason', 'it was right', '--by', 'B')).code).toBe(0)
    expect((await own.rows('drops'))[0]).toMatchObject({ volume_gal: 980 })
    expect((await own.say('verify')).code).toBe(0)
    await own.close()
  })
})

test('drops are merged, parted again, and a merge that cannot be is refused', async () => {
  const own = await House.open()
  await own.ingest(
    await folderOf(Object.fromEntries(workedExampleFiles.map((file) => [file.path, file.text]))),
  )
  const drops = await own.rows<{ drop: string; aircraft: string }>('drops')
  const [first, second] = drops.map((row) => row.drop)
  const signed = ['--reason', 'one release', '--by', 'A']
  const far = drops.find((row) => row.aircraft === 'N802ZY')!.drop
  const refused = await own.say('amend', 'merge', 'drop', first!, far, ...signed)
  expect(refused.code).toBe(1)
  expect(refused.err).toContain('nothing was recorded')
  expect((await own.say('amend', 'list')).out).toBe('no amendments\n')
  expect((await own.say('amend', 'merge', 'drop', first!, second!, ...signed)).code).toBe(0)
  expect(await own.rows('drops')).toHaveLength(4)
  expect((await own.say('verify')).code).toBe(0)
  expect((await own.say('amend', 'undo', '1', ...signed)).code).toBe(0)
  expect(await own.rows('drops')).toHaveLength(5)
  await own.close()
})

describe('a closed season', () => {
  test('is written down with hashes, refuses late rows, and takes them once it is re-opened', async () => {
    const own = await House.open()
    await own.ingest(
      await folderOf(Object.fromEntries(workedExampleFiles.map((file) => [file.path, file.text]))),
    )
    const out = join(scratch, 'closed')
    expect((await own.say('close', '2026', '--by', 'A. Manager', '--out', out)).code).toBe(0)
    const manifest = JSON.parse(await readFile(join(out, 'manifest.json'), 'utf8'))
    expect(manifest.tables.find((table: { file: string }) => table.file === 'drops.parquet')).toMatchObject({
      rows: 5,
      sha256: expect.stringMatching(/^[0-9a-f]{64}$/),
    })
    expect((await own.say('close', '2026', '--by', 'A. Manager', '--out', out)).err).toContain(
      'closed already',
    )
    const late = { 'drop.csv': 'dropped_at,aircraft,volume_gal\n2026-07-05T18:30:00Z,N801ZY,900\n' }
    const report = await own.ingest(await folderOf(late))
    expect(report.totals).toMatchObject({ read: 1, accepted: 0, quarantined: 1 })
    expect((await own.rows<{ reason: string }>('quarantine'))[0]!.reason).toMatch(/^season-closed/)
    expect(
      (await own.say('amend', 'reopen', '2026', '--reason', 'late tickets', '--by', 'A. Manager')).code,
    ).toBe(0)
    const again = await own.ingest(
      await folderOf({ 'drop.csv': `${late['drop.csv']}2026-07-05T19:30:00Z,N801ZY,800\n` }),
    )
    expect(again.totals).toMatchObject({ read: 2, accepted: 1, duplicate: 1 })
    await own.close()
  })
})

test('a profile is drafted for a file with strange headers', async () => {
  const path = join(scratch, 'slips.csv')
  await writeFile(path, 'Date,Time,Tanker,Gals,Split,Incident\n07/04/2026,1230,T801,"1,000",1/2,F-1\n')
  const said = await house.say('profile', 'draft', path)
  expect(said.code).toBe(0)
  const draft = JSON.parse(said.out)
  expect(draft.headers).toEqual(expect.arrayContaining(['Date', 'Time', 'Tanker', 'Gals']))
  expect(draft.records[0].kind).toBe('drop')
  expect((await house.say('profile', 'draft', resolve(scratch, 'none.csv'))).code).toBe(1)
})
