import { afterAll, describe, expect, test } from 'vitest'
import { isProblem, loadProfiles, type Profile, parseProfile } from '../../src/sources/index.ts'
import { Workbench } from './workbench.ts'

const bench = new Workbench()
afterAll(() => bench.close())

const sheet = {
  profile: 'north-base-drop-sheet',
  format: 'csv',
  csv: { delimiter: ',', encoding: 'utf-8', skip: 0, decimal: '.' },
  headers: ['Date', 'Time', 'Tanker', 'Incident', 'Gals', 'Split', 'CL'],
  zone: 'America/Denver',
  ignore: { Type: ['BOOT', 'TOTAL'] },
  records: [
    {
      kind: 'drop',
      witness: 'crew',
      where: { Type: ['DROP', 'SPLIT'] },
      fields: {
        dropped_at: { from: ['Date', 'Time'], format: ['%m/%d/%Y %H%M', '%d %b %Y %H:%M'] },
        aircraft: { from: 'Tanker' },
        volume: { from: 'Gals', unit: 'gal_us' },
        fraction: { from: 'Split' },
        position: { from: ['Lat', 'Lon'] },
        fire: { from: 'Incident' },
        purpose: { from: 'Type', values: { DUMP: 'emergency' }, default: 'fire' },
      },
      constants: { fluid: 'retardant' },
    },
  ],
}

const parsed = (written: unknown) => parseProfile(JSON.stringify(written, null, 2), 'p.json')
const good = (written: unknown): Profile => {
  const profile = parsed(written)
  if (isProblem(profile)) throw new Error(profile.what)
  return profile
}
/** What is wrong with the sheet when the value at a place of its JSON is another; undefined takes it away. */
function trouble(place: string, value: unknown): string {
  const changed: Record<string, unknown> = structuredClone(sheet)
  const steps = place.split('.')
  const last = steps.pop()!
  const parent = steps.reduce((at, step) => at[step] as Record<string, unknown>, changed)
  if (value === undefined) delete parent[last]
  else parent[last] = value
  const profile = parsed(changed)
  return isProblem(profile) ? profile.what : 'none'
}

describe('a profile', () => {
  test('becomes what the code uses', () => {
    const profile = good(sheet)
    expect(profile).toMatchObject({
      name: 'north-base-drop-sheet',
      isCanonical: false,
      csv: { delimiter: ',', encoding: 'utf-8', skip: 0 },
      decimal: '.',
      zone: { name: 'America/Denver' },
      sends: 'increment',
      issuedAt: null,
      densityLbPerGal: null,
      ignore: { Type: ['BOOT', 'TOTAL'] },
    })
    const [record] = profile.records
    expect(record).toMatchObject({
      kind: 'drop',
      witness: 'crew',
      where: { Type: ['DROP', 'SPLIT'] },
      constants: { fluid: 'retardant' },
    })
    const field = (name: string) => record!.fields.find((each) => each.field === name)
    expect(field('dropped_at')).toEqual({
      field: 'dropped_at',
      columns: ['dropped_at'],
      from: ['Date', 'Time'],
      unit: null,
      formats: ['%m/%d/%Y %H%M', '%d %b %Y %H:%M'],
      zone: { name: 'America/Denver' },
      values: {},
      default: null,
    })
    expect(field('volume')).toMatchObject({ columns: ['volume_gal'], unit: 'gal_us', zone: null })
    expect(field('position')).toMatchObject({ columns: ['latitude', 'longitude'], from: ['Lat', 'Lon'] })
    expect(field('purpose')).toMatchObject({ values: { DUMP: 'emergency' }, default: 'fire' })
  })

  test('may use full canonical names, one text for a list, numbers for texts, notes and its own zones', () => {
    const profile = good({
      $schema: './profile.schema.json',
      notes: ['from the night shift'],
      profile: 'p',
      headers: ['When'],
      zone: { from: 'base' },
      ignore: { Count: 0 },
      density_lb_per_gal: 9.1,
      sends: 'whole',
      records: [
        {
          kind: 'load',
          notes: 'x',
          fields: {
            loaded_at: { from: 'When', zone: 'UTC', format: 'epoch_s' },
            started_at: { from: 'Start' },
            aircraft: { from: 'AC' },
            volume_gal: { from: 'Weight', unit: 'lb' },
          },
          constants: { base: 'JUN' },
        },
      ],
    })
    expect(profile).toMatchObject({
      sends: 'whole',
      densityLbPerGal: 9.1,
      ignore: { Count: ['0'] },
      zone: { from: 'base' },
    })
    const zones = profile.records[0]!.fields.map(({ field, zone }) => [field, zone])
    expect(zones).toEqual([
      ['loaded_at', { name: 'UTC' }],
      ['started_at', { from: 'base' }],
      ['aircraft', null],
      ['volume_gal', null],
    ])
  })

  const drop = 'records.0'
  test.each<[string, string, unknown, string]>([
    ['a mistyped member', 'heders', ['x'], "the profile has no 'heders' (did you mean 'headers'?)"],
    ['no headers', 'headers', undefined, 'headers is missing'],
    [
      'a mistyped field',
      `${drop}.fields.volum`,
      { from: 'x' },
      "records[0].fields has no 'volum' (did you mean 'volume'?)",
    ],
    [
      'a mistyped kind',
      `${drop}.kind`,
      'dropp',
      "records[0].kind is 'dropp', which is no record kind (did you mean 'drop'?)",
    ],
    ['no kind', `${drop}.kind`, undefined, 'records[0].kind is missing'],
    [
      'a mistyped unit',
      `${drop}.fields.volume.unit`,
      'gal_uk',
      'records[0].fields.volume.unit must be one of gal_us, gal_imp',
    ],
    [
      'a unit of something else',
      `${drop}.fields.volume.unit`,
      'kt',
      'records[0].fields.volume: the unit kt does not measure a volume',
    ],
    [
      'a unit of what has none',
      `${drop}.fields.fire.unit`,
      'ft',
      'records[0].fields.fire has a unit, but it is not measured in units',
    ],
    ['a field from nowhere', `${drop}.fields.fire.from`, [], 'records[0].fields.fire.from'],
    [
      'a mistyped zone',
      'zone',
      'America/Denvr',
      "zone is 'America/Denvr', which is no IANA zone such as America/Denver (did you mean 'America/Denver'?)",
    ],
    [
      'a mistyped fluid',
      `${drop}.constants.fluid`,
      'retardnt',
      "records[0].constants.fluid is 'retardnt', but must be one of water, retardant, gel, foam (did you mean 'retardant'?)",
    ],
    [
      'values that are no choice',
      `${drop}.fields.purpose.values.DUMP`,
      'dump',
      "records[0].fields.purpose.values['DUMP'] is 'dump', but must be one of fire, jettison",
    ],
    [
      'a required column left out',
      `${drop}.fields.aircraft`,
      undefined,
      "records[0] is a drop and must give 'aircraft' in fields or constants",
    ],
    [
      'a column given twice',
      `${drop}.fields.volume_gal`,
      { from: 'x' },
      "records[0].fields gives volume_gal twice, by 'volume_gal' and 'volume'",
    ],
    [
      'a time format of what is no time',
      `${drop}.fields.fire.format`,
      '%H',
      'records[0].fields.fire has a time format, but it is no time',
    ],
    [
      'a time format that reads nothing',
      `${drop}.fields.dropped_at.format`,
      'HHMM',
      "records[0].fields.dropped_at: time format 'HHMM' reads nothing",
    ],
    ['an unknown encoding', 'csv.encoding', 'ebcdic', 'csv.encoding must be one of utf-8, utf-16'],
    ['a text for a number', 'csv.skip', '2', 'csv.skip must be a'],
    [
      'an issue pattern without a group',
      'issued_at',
      '\\d+',
      "issued_at: '\\d+' is no header, and as a pattern it has no group in parentheses",
    ],
    ['no records', 'records', [], 'records must describe at least one record kind'],
    ['a sheet of a CSV', 'xlsx', { sheet: 'Drops' }, "xlsx is given, but the format is 'csv'"],
  ])('with %s says where and what', (_, place, value, wanted) => {
    expect(trouble(place, value)).toContain(wanted)
  })

  test('that is no JSON names the line', () => {
    const stops: [string, number, string][] = [
      ['{\n  "profile": "x",\n  "headers": [\n}', 4, "'}' is not expected here"],
      ['{\n  "profile": "x"\n  "headers": []\n}', 3, `'"' is not expected here`],
      ['{\n  "profile": "x",\n}', 3, "'}' is not expected here"],
      ['{\n  "profile": "x', 2, 'it ends too early'],
      ['{\n  "profile": tru', 2, 'it ends too early'],
      ['{\n  "profile": -', 2, 'it ends too early'],
      ["{\n  'profile': 1}", 2, "''' is not expected here"],
      ['{\n  "profile": 1\n}\n}', 4, "'}' is not expected here"],
    ]
    for (const [text, line, reason] of stops) {
      expect(parseProfile(text, 'p.json')).toMatchObject({ line, what: `the profile is not JSON: ${reason}` })
    }
    expect(parseProfile(' ', 'p.json')).toMatchObject({ what: 'the profile is empty' })
  })

  test('with a mistyped name points at its line', () => {
    const text = JSON.stringify({ ...sheet, zoen: 'UTC' }, null, 2)
    const line = text.split('\n').findIndex((each) => each.includes('zoen')) + 1
    expect(parseProfile(text, 'p.json')).toMatchObject({ path: 'p.json', line })
  })
})

test('a broken profile does not stop the others; one name stands for one profile', async () => {
  const first = bench.write('a.json', JSON.stringify(sheet))
  const broken = bench.write('b.json', '{')
  const same = bench.write('c.json', JSON.stringify(sheet))
  const other = bench.write('d.json', JSON.stringify({ ...sheet, sends: 'whole' }))
  const last = bench.write('e.json', JSON.stringify({ ...sheet, profile: 'last' }))
  const { profiles, problems } = await loadProfiles([first, broken, same, other, last, `${last}x`])
  expect(profiles.map(({ name }) => name)).toEqual(['north-base-drop-sheet', 'last'])
  expect(problems.map(({ path, what }) => [path, what.split(':')[0]])).toEqual([
    [broken, 'the profile is not JSON'],
    [other, "the profile 'north-base-drop-sheet' is there twice"],
    [`${last}x`, 'there is no such file or folder'],
  ])
})
