import { execFileSync } from 'node:child_process'
import { mkdtemp, rm, stat } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { makeNamedFolder } from '../../src/commands/named-file.ts'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'

let house: House
let scratch: string

beforeAll(async () => {
  scratch = await mkdtemp(join(tmpdir(), 'gallonage-terminal-'))
  house = await House.open()
})
afterAll(async () => {
  await house.close()
  await rm(scratch, { recursive: true })
})

describe('wrong usage', () => {
  test.each([
    [['report', 'season', '--season', '1999', '--out', 'x.html'], 'there is no season 1999 on record'],
    [['report', 'conversion', '--tank', 'K-9', '--out', 'x.html'], 'there is no tank K-9 on record'],
    [['report', 'statement', '--invoice', 'I-9', '--out', 'x.html'], 'there is no invoice I-9 on record'],
    [['report', 'seasn', '--out', 'x.pdf'], 'there is no report seasn; did you mean season?'],
    [['report', 'season', '--out', 'x.pdf', '--units', 'metrics'], 'did you mean metric?'],
    [['report', 'season', '--out', 'x.pdf', '--zone', 'Mars/Base'], 'Mars/Base is no IANA time zone'],
    [['report', 'season', '--out', 'x.doc'], 'ends in .html, .pdf or .xlsx'],
    [['report', 'season', '--param', 'seson=2026', '--out', 'x.html'], 'did you mean season?'],
    [['query', 'drops', '--format', 'cvs'], 'did you mean csv?'],
    [['export', '--format', 'parqet'], 'did you mean parquet?'],
    [['amend', 'exclud', 'drop', 'x'], 'did you mean exclude?'],
    [['amend'], 'name a correction: set, set-aside, exclude'],
    [['completion', 'bahs'], 'did you mean bash?'],
    [['setting', 'home-zon'], 'did you mean home-zone?'],
    [['verify', 'now'], '"now" is one word too many'],
  ])('%j', async (argv, words) => {
    const said = await house.say(...argv)
    expect(said).toMatchObject({ code: 2, out: '' })
    expect(said.err).toContain(words)
  })
})

test.each([
  ['aircraft=n9', 'there is no aircraft n9 on record; there is none yet'],
  ['fire=X-1', 'there is no fire X-1 on record'],
])('an answer about a name that is not on record says so beside it: %s', async (param, words) => {
  const said = await house.say('query', 'drops', '--param', param)
  expect(said).toMatchObject({ code: 0, err: expect.stringContaining(words) })
  expect((await house.say('query', 'drops', '--param', param, '--quiet')).err).toBe('')
})

describe('a file that cannot be written', () => {
  const nowhere = '/no/such/folder'

  test.each([
    [['query', 'drops', '--out', `${nowhere}/x.csv`]],
    [['query', 'drops', '--out', `${nowhere}/x.parquet`]],
    [['report', 'season', '--out', `${nowhere}/x.html`]],
    [['reconcile', '--workbook', `${nowhere}/x.xlsx`]],
  ])('%j fails before any work, with one line', async (argv) => {
    const said = await house.say(...argv)
    expect(said.code).toBe(1)
    expect(said.err).toContain('/no/such/folder: there is no such folder; make it first, or name another')
    expect(said.err.trimEnd().split('\n')).toHaveLength(1)
  })

  test('a folder in its place is named', async () => {
    const said = await house.say('query', 'drops', '--out', scratch)
    expect(said).toMatchObject({ code: 1 })
    expect(said.err).toContain('this is a folder; name a file in it')
  })

  test('folders are made one by one, and what refuses them is named', async () => {
    makeNamedFolder(join(scratch, 'a', 'b'))
    expect((await stat(join(scratch, 'a', 'b'))).isDirectory()).toBe(true)
    const said = await house.say('export', '--out', '/dev/null/x')
    expect(said.code).toBe(1)
    expect(said.err.trimEnd().split('\n')).toHaveLength(1)
  })
})

describe('help and completion', () => {
  test('help VERB is VERB --help', async () => {
    expect(await house.say('help', 'query')).toEqual(await house.say('query', '--help'))
    expect((await house.say('help')).out).toContain('usage: gallonage COMMAND')
  })

  test('bash completes verbs, questions, options and formats', async () => {
    const { out } = await house.say('completion', 'bash')
    const complete = (...words: string[]): string[] =>
      execFileSync(
        'bash',
        [
          '-c',
          `${out}\nCOMP_WORDS=(gallonage "$@"); COMP_CWORD=$#; _gallonage; printf '%s\\n' "\${COMPREPLY[@]}"`,
          'bash',
          ...words,
        ],
        { encoding: 'utf8' },
      )
        .split('\n')
        .filter((line) => line !== '')
    expect(complete('qu')).toEqual(['query'])
    expect(complete('query', 'gallons-by-f')).toEqual(['gallons-by-fire', 'gallons-by-fire-day'])
    expect(complete('query', 'drops', '--fo')).toEqual(['--format'])
    expect(complete('query', 'drops', '--format', 'p')).toEqual(['parquet'])
    expect(complete('report', 'st')).toEqual(['statement'])
    expect(complete('evidence', 'inv')).toEqual(['invoice-line'])
  })

  test('zsh and fish have every verb with its options', async () => {
    for (const shell of ['zsh', 'fish']) {
      const { out, code } = await house.say('completion', shell)
      expect(code).toBe(0)
      for (const word of ['gallons-by-fire', 'work-list', 'first-ingest', 'invoice-line', 'metric'])
        expect(out).toContain(word)
    }
  })
})

describe('--json', () => {
  test('gives one JSON document on standard output, whatever the verb', async () => {
    await house.ingest(
      await folderOf({
        'aircraft.csv': 'registration\nN801ZY\n',
        'drop.csv': 'dropped_at,aircraft,volume_gal\n2026-07-05T18:30:00Z,N801ZY,900\n',
      }),
    )
    for (const argv of [
      ['query'],
      ['query', 'drops'],
      ['query', 'drops', '--out', join(scratch, 'drops.csv')],
      ['due'],
      ['findings'],
      ['reconcile', '--workbook', join(scratch, 'x.xlsx')],
      ['amend', 'list'],
      ['setting'],
      ['profile', 'columns'],
      ['completion', 'bash'],
      ['export', '--format', 'geojson', '--out', scratch],
      ['report', 'contract', '--out', join(scratch, 'x.html')],
      ['close', '2026', '--by', 'R. Alder', '--out', join(scratch, 'closed')],
    ]) {
      const said = await house.say(...argv, '--json')
      expect({ argv, code: said.code }).toEqual({ argv, code: 0 })
      expect(() => JSON.parse(said.out), argv.join(' ')).not.toThrow()
    }
    expect(JSON.parse((await house.say('--version', '--json')).out)).toEqual({ version: 'test' })
  })
})
