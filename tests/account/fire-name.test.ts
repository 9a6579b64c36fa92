import { describe, expect, test } from 'vitest'
import { type Fire, fireNamed } from '../../src/account/fire-name.ts'

const fire = (number: string, name: string | null, ...aliases: string[]): Fire => ({
  number,
  season: '2026',
  name,
  aliases,
})
const stone = fire('ID-BOF-000417', 'Stone Creek', 'STNCK')
const pine = fire('ID-BOF-000418', 'Pine Ridge')
const over = fire('ID-BOF-000100', 'Old Burn')
const active = [stone, pine]
const season = [...active, over]

const named = (text: string): string | null => fireNamed(text, season, active).fire?.number ?? null

describe('fireNamed', () => {
  test.each([
    ['ID-BOF-000417', stone.number],
    ['id bof 000417', stone.number],
    ['417', stone.number],
    ['#0417', stone.number],
    ['BOF-417', stone.number],
    ['stone creek', stone.number],
    ['Stone Creek Fire', stone.number],
    ['STONE CRK', stone.number],
    ['Stoen Creek', stone.number],
    ['stnck', stone.number],
    ['Pine', pine.number],
  ])('%s is found', (text, number) => expect(named(text)).toBe(number))

  test.each([
    ['Pine Cyn', 'Pine Canyon'],
    ['PINE RDG', 'Pine Ridge'],
    ['Pine Pt', 'Pine Point'],
    ['Pne Bte Fire', 'Pine Butte'],
    ['Bear Crk', 'Bear Creek'],
  ])('%s is short for %s', (text, name) => {
    const fires = ['Pine Canyon', 'Pine Ridge', 'Pine Point', 'Pine Butte', 'Bear Creek', 'Bear Flat'].map(
      (name, place) => fire(`A-${place}`, name),
    )
    expect(fireNamed(text, fires, fires)).toMatchObject({ fire: { name }, how: 'likeness' })
  })

  test.each(['none', 'NIL', '?', '???', 'unk', 'Unknown fire', 'no fire', 'TBD', 'not known'])(
    '%s names no fire and asks for none',
    (text) => {
      const fires = [...season, fire('A-1', 'Ano Nuevo'), fire('A-2', 'Nile')]
      expect(fireNamed(text, fires, fires)).toEqual({
        fire: null,
        how: 'nothing',
        score: 0,
        suggestion: null,
      })
    },
  )

  test('a fire that is called so is named by it', () => {
    expect(fireNamed('Unknown', [fire('A-1', 'Unknown')], [fire('A-1', 'Unknown')]).fire?.number).toBe('A-1')
  })

  test('a short form that fits two fires names neither, and letters in another order are no short form', () => {
    const fires = [fire('A-1', 'Long Ridge'), fire('A-2', 'Long Road'), fire('A-3', 'Bear Canyon')]
    expect(fireNamed('Long Rd', fires, fires).fire).toBeNull()
    expect(fireNamed('Bear Nyc', fires, fires).fire).toBeNull()
  })

  test('a number of the season is found though the fire is over; its name is not', () => {
    expect(named('ID-BOF-000100')).toBe(over.number)
    expect(named('Old Burn')).toBeNull()
    expect(fireNamed('old burn fire', season, active).suggestion).toBe(
      'ID-BOF-000100 Old Burn, which was not active then',
    )
  })

  test('a number with one wrong digit is another fire, not a misspelling', () => {
    expect(fireNamed('ID-BOF-000419', season, active)).toMatchObject({ fire: null, how: 'unknown' })
  })

  test('two fires of one name are not told apart', () => {
    const twins = [fire('A-1', 'Bear'), fire('B-7', 'Bear')]
    expect(fireNamed('Bear', twins, twins)).toMatchObject({
      fire: null,
      how: 'ambiguous',
      suggestion: 'A-1 Bear or B-7 Bear',
    })
  })

  test('what is like nothing has no suggestion; what is like one fire has', () => {
    expect(fireNamed('zzz', season, active)).toMatchObject({ fire: null, suggestion: null })
    expect(
      fireNamed('Stane Crock', season, active).suggestion ??
        fireNamed('Stane Crock', season, active).fire?.name,
    ).toMatch(/Stone Creek/)
  })
})
