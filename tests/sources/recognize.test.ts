import { afterAll, describe, expect, test } from 'vitest'
import { kinds } from '../../src/kinds/index.ts'
import { canonicalProfiles, isProblem, type Profile } from '../../src/sources/index.ts'
import { dropProfile, Workbench } from './workbench.ts'

const bench = new Workbench()
afterAll(() => bench.close())

const short = dropProfile('short', ['Time', 'Tanker', 'Gals'])
const long = dropProfile('long', ['Time', 'Tanker', 'Gals', 'Split'])
const twin = dropProfile('twin', ['Gals', 'Tanker', 'Time'])

async function nameOf(name: string, text: string, profiles: Profile[] = []): Promise<string> {
  const recognized = await bench.recognize(bench.write(name, text), profiles)
  return isProblem(recognized) ? recognized.what : recognized.profile.name
}

describe('a file with canonical headers needs no profile', () => {
  test.each(kinds.map((kind) => [kind.name, kind] as const))('%s', async (name, kind) => {
    const all = kind.columns.map((column) => column.name)
    const required = kind.columns.filter((column) => column.required).map((column) => column.name)
    expect(await nameOf('a.csv', `${all.join(',')}\n`)).toBe(`canonical-${name}`)
    expect(await nameOf(`${name}.csv`, `${required.join(',')}\n`)).toBe(`canonical-${name}`)
    expect(await nameOf('a.csv', `${[...all].reverse().join(';')};remarks\n`)).toBe(`canonical-${name}`)
  })

  test('every required column is in the signature, every column has its field', () => {
    const drop = canonicalProfiles().find(({ name }) => name === 'canonical-drop')!
    expect(drop.headers).toEqual(['dropped_at', 'aircraft'])
    expect(drop.records[0]!.fields.find(({ field }) => field === 'volume')).toMatchObject({
      columns: ['volume_gal'],
      from: ['volume_gal'],
    })
  })
})

describe('of several profiles that fit', () => {
  const text = 'Time,Tanker,Gals,Split,CL\n'
  test('the one with more signature headers is taken, in any order of profiles', async () => {
    expect(await nameOf('a.csv', text, [short, long])).toBe('long')
    expect(await nameOf('a.csv', text, [long, short])).toBe('long')
  })

  test('a tie names both', async () => {
    expect(await nameOf('a.csv', text, [short, twin])).toBe("two profiles fit equally: 'short' and 'twin'")
  })

  test('profiles of another folder do not get in the way; those around the file do', async () => {
    const at = (folder: string, profile: Profile): Profile => ({
      ...profile,
      path: `${bench.folder}/${folder}/profiles/p.json`,
    })
    expect(await nameOf('north/a.csv', text, [at('north', short), at('south', twin)])).toBe('short')
    expect(await nameOf('south/a.csv', text, [at('north', short), at('south', twin)])).toBe('twin')
    expect(await nameOf('north/a.csv', text, [at('north', short), at('north', twin)])).toMatch(
      /two profiles fit equally/,
    )
    expect(await nameOf('north/a.csv', text, [at('north', short), at('.', twin)])).toMatch(
      /two profiles fit equally/,
    )
    expect(await nameOf('east/a.csv', text, [at('north', short), at('south', twin)])).toMatch(
      /two profiles fit equally/,
    )
  })

  test('a tie below the best does not matter', async () => {
    expect(await nameOf('a.csv', text, [short, twin, long])).toBe('long')
  })

  test('a written one goes before a built-in one at equal count', async () => {
    const own = dropProfile('own', ['dropped_at', 'aircraft'])
    expect(await nameOf('a.csv', 'dropped_at,aircraft,fire\n', [own])).toBe('own')
  })

  test('a header repeated in the signature counts once', async () => {
    const padded = dropProfile('padded', ['Time', 'time', 'TIME', 'Tanker', 'Gals', 'Gals'])
    expect(await nameOf('a.csv', text, [padded, long])).toBe('long')
  })
})

describe('what a profile declares is kept to', () => {
  test('a delimiter', async () => {
    const semicolons = dropProfile('semicolons', ['Time', 'Tanker', 'Gals'], { csv: { delimiter: ';' } })
    expect(await nameOf('a.csv', 'Time;Tanker;Gals\n', [semicolons])).toBe('semicolons')
    expect(await nameOf('a.csv', 'Time,Tanker,Gals\n', [semicolons])).toMatch(/^the headers fit no profile/)
  })

  test('lines to skip', async () => {
    const skips = dropProfile('skips', ['Time', 'Tanker', 'Gals'], { csv: { skip: 2 } })
    expect(await nameOf('a.csv', 'x\ny\nTime,Tanker,Gals\n', [skips])).toBe('skips')
    expect(await nameOf('a.csv', 'Time,Tanker,Gals\nx\ny\n', [skips])).toMatch(/^the headers fit no profile/)
  })

  test('a format', async () => {
    const json = dropProfile('json', ['Time', 'Tanker', 'Gals'], { format: 'jsonl' })
    expect(await nameOf('a.csv', 'Time,Tanker,Gals\n', [json])).toMatch(/^the headers fit no profile/)
    expect(await nameOf('a.jsonl', '{"Time":"x","Tanker":1,"Gals":2}\n', [json])).toBe('json')
  })
})

test('an unknown file names the nearest profile and what it lacks', async () => {
  const found = await bench.recognize(bench.write('odd.csv', 'Time,Tanker,Gal\n'), [long, short])
  expect(found).toMatchObject({
    line: 1,
    what: "the headers fit no profile; the nearest is 'short', which also needs 'Gals' (perhaps it is 'Gal')",
  })
  expect(isProblem(found) && found.fix).toMatch(/profile draft .*odd\.csv/)
  expect(await nameOf('none.csv', 'Foo,Bar\n1,2\n', [short])).toBe('the headers fit no profile: Foo, Bar')
  expect(await nameOf('none.xlsx', 'Foo,Bar\n1,2\n', [short])).toBe(
    'the file is called a workbook and is none',
  )
  expect(await nameOf('long.csv', 'y'.repeat(200_000), [short])).toBe(
    `the headers fit no profile: ${'y'.repeat(40)}…`,
  )
})

test('a header that stands twice is refused if the profile reads it', async () => {
  const what = "the header 'Gals' is there more than once, and the profile 'short' reads it"
  expect(await nameOf('twice.csv', 'Time,Tanker,Gals,GALS\n', [short])).toBe(what)
  expect(await nameOf('spare.csv', 'Time,Tanker,Gals,x,x\n', [short])).toBe('short')
})

describe('when a file was issued', () => {
  const issued = async (
    name: string,
    issued_at: unknown,
    text = 'Time,Tanker,Gals,Sent\n,,,07/04/2026 1830\n',
  ) => {
    const recognized = await bench.recognize(bench.write(name, text), [
      dropProfile('p', ['Time', 'Tanker', 'Gals', 'Sent'], { issued_at }),
    ])
    return isProblem(recognized) ? recognized.what : recognized.issuedAt
  }
  test.each<[string, unknown, string | null]>([
    ['a-2026-07-04.csv', { name: '(\\d{4}-\\d{2}-\\d{2})' }, '2026-07-04T00:00:00.000Z'],
    ['a-20260704_1830.csv', '(\\d{8}_\\d{4})', '2026-07-04T18:30:00.000Z'],
    ['a-04-07-26.csv', '(?<day>\\d\\d)-(?<month>\\d\\d)-(?<year>\\d\\d)', '2026-07-04T00:00:00.000Z'],
    ['a.csv', { column: 'Sent', format: '%m/%d/%Y %H%M' }, '2026-07-04T18:30:00.000Z'],
    ['a.csv', 'sent', '0000000000000007/0000000000000004/0000000000002026 0000000000001830'],
    ['a.csv', { column: 'Issued' }, null],
    ['a.csv', '(\\d{4})', null],
  ])('%s with %j is %s', async (name, rule, wanted) => {
    expect(await issued(name, rule)).toBe(wanted)
  })

  test('a running number sorts as a number', async () => {
    const nine = (await issued('upload 9.csv', 'upload (\\d+)'))!
    const ten = (await issued('upload 10.csv', 'upload (\\d+)'))!
    expect(nine < ten).toBe(true)
  })
})
