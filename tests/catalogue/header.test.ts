import { describe, expect, test } from 'vitest'
import { readQuestion } from '../../src/catalogue/index.ts'

const text = `-- title: Loads
-- grain: one row per load
-- params: season, from, weight:number
-- needs: due
-- note: Volumes are tickets'
--   own figures.
-- note: Second.
-- columns:
--   load        the load
--   volume_gal  US gal
--               as written on the ticket
SELECT load, volume_gal FROM answers.load -- not a tag: title: x
WHERE $season IS NULL;
`

describe('the comment above a statement', () => {
  test('becomes a question', () => {
    const question = readQuestion('loads', 'loads.sql', text, true)
    expect(question).toMatchObject({
      title: 'Loads',
      grain: 'one row per load',
      needs: 'due',
      isBuiltIn: true,
    })
    expect(question.params.map((param) => [param.name, param.type])).toEqual([
      ['season', 'text'],
      ['from', 'day'],
      ['weight', 'number'],
    ])
    expect(question.columns).toEqual([
      { name: 'load', about: 'the load' },
      { name: 'volume_gal', about: 'US gal as written on the ticket' },
    ])
    expect(question.notes).toEqual(["Volumes are tickets' own figures.", 'Second.'])
    expect(question.sql.startsWith('SELECT load')).toBe(true)
    expect(question.sql.endsWith('IS NULL')).toBe(true)
  })

  test.each([
    ['Loads!', text, /rename the file/],
    ['loads', 'SELECT 1', /title/],
    ['loads', '-- title: x\n', /no statement/],
    ['loads', '-- title: x\n-- params: a:colour\nSELECT 1', /a:colour/],
  ])('%s: what is missing is said with the file', (name, body, message) => {
    expect(() => readQuestion(name, 'here.sql', body, false)).toThrow(message)
    expect(() => readQuestion(name, 'here.sql', body, false)).toThrow(/^here\.sql: /)
  })
})
