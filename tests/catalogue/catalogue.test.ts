import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { QueryProblem } from '../../src/catalogue/index.ts'
import { Prepared } from '../../src/catalogue/preparation.ts'
import type { Params, Warehouse } from '../../src/warehouse/index.ts'
import { catalogueOf, house } from './house.ts'

let warehouse: Warehouse
let fingerprint = 'one'
let prepared = 0
const options = {
  limits: { timeMs: 400, rows: 1000 },
  fingerprint: async () => fingerprint,
  preparations: {
    due: {
      reads: ['as_of'],
      fills: ['prepared'],
      fill: async (into: Warehouse, params: Params) => {
        prepared++
        await into.transaction(async () => {
          await into.run('DELETE FROM answers.prepared')
          await into.run('INSERT INTO answers.prepared VALUES ($as_of)', { as_of: params.as_of ?? null })
        })
      },
    },
  },
} satisfies Parameters<typeof catalogueOf>[0]
const catalogue = catalogueOf(options)

beforeAll(async () => {
  warehouse = await house()
})
afterAll(async () => {
  await catalogue.close()
  await warehouse.close()
})

const rowsOf = async (name: string, params = {}) => (await catalogue.run(warehouse, name, params)).toObjects()
const problemOf = async (name: string, params = {}): Promise<QueryProblem> => {
  const error = await rowsOf(name, params).then(
    () => null,
    (reason) => reason,
  )
  expect(error).toBeInstanceOf(QueryProblem)
  return error as QueryProblem
}

describe('names', () => {
  test('are listed in order; files that are no question are problems with their path', () => {
    const names = catalogue.list().map((question) => question.name)
    expect(names).toEqual([...names].sort())
    expect(names).toContain('my-total')
    expect(names).not.toContain('untitled')
    expect(catalogue.problems.map((problem) => problem.message)).toEqual([
      expect.stringMatching(
        /users.gallons-by-fire\.sql: there is a query gallons-by-fire already .*; rename it/,
      ),
      expect.stringMatching(/users.untitled\.sql: the comment has no line "-- title/),
    ])
    expect(catalogue.describe('gallons-by-fire').isBuiltIn).toBe(true)
  })

  test('a mistyped one is answered with the nearest', async () => {
    const problem = await problemOf('gallons-by-fires')
    expect(problem).toMatchObject({ code: 'unknown-query', suggestion: 'gallons-by-fire' })
    expect((await problemOf('gallons-by-fire', { sesaon: '2026' })).suggestion).toBe('season')
  })

  test('columns are known without asking', async () => {
    const columns = await catalogue.columns(warehouse, 'gallons-by-fire')
    expect(columns.map((column) => `${column.name}:${column.kind}`).join(' ')).toBe(
      'fire:text drops:integer gallons:number cost:money price:money first_at:time first_day:day fluids:list is_large:boolean',
    )
  })

  test('a folder that is not there is a problem too', () => {
    const none = catalogueOf({ folders: { builtIn: '/nowhere/at/all' } })
    expect(none.problems[0]!.message).toMatch(/does not exist/)
  })
})

describe('a preparation', () => {
  test('runs before the question, again when the params or the records change, and never between two others', async () => {
    const asked = ['2026-07-01', '2026-07-02', '2026-07-03', '2026-07-03']
    const answers = await Promise.all(asked.map((day) => rowsOf('prepared', { as_of: day })))
    expect(answers).toEqual(asked.map((day) => [{ as_of: day, wanted: day }]))
    expect(prepared).toBe(3)
    fingerprint = 'two'
    await rowsOf('prepared', { as_of: '2026-07-03' })
    expect(prepared).toBe(4)
  })

  test('of one catalogue is not taken for that of another on the same warehouse', async () => {
    const other = catalogueOf(options)
    const ask = (of: typeof catalogue, day: string) =>
      of.run(warehouse, 'prepared', { as_of: day }).then((result) => result.toObjects())
    await ask(catalogue, '2026-07-05')
    await ask(other, '2026-07-06')
    expect(await ask(catalogue, '2026-07-05')).toEqual([{ as_of: '2026-07-05', wanted: '2026-07-05' }])
    const before = prepared
    await ask(other, '2026-07-05')
    expect(prepared).toBe(before)
  })

  test('that fills the tables of another as well spares it, and is made again when the other replaced them', async () => {
    const filled: string[] = []
    const one = (name: string, fills: string[]) => ({
      reads: ['as_of'],
      fills,
      fill: async () => void filled.push(name),
    })
    const small = one('small', ['a'])
    const large = one('large', ['a', 'b'])
    const see = (preparation: typeof small, as_of: string) =>
      Prepared.of(warehouse).see(preparation, warehouse, { as_of, other: as_of }, 'state')
    await see(large, '1')
    await see(small, '1')
    expect(filled).toEqual(['large'])
    await see(small, '2')
    await see(large, '1')
    expect(filled).toEqual(['large', 'small', 'large'])
    await see(small, '1')
    expect(filled.length).toBe(3)
  })
})

describe('a query that a user brought', () => {
  test('has the same standing: params, macros, and new rows when the records change', async () => {
    expect(await rowsOf('my-total')).toEqual([{ gallons: 1320.5 }])
    expect(await rowsOf('my-total', { fluid: 'water' })).toEqual([{ gallons: 420 }])
    await warehouse.run(
      "INSERT INTO answers.drop VALUES ('F-3', '2026', 'water', '2026-07-08', 80, NULL, NULL)",
    )
    expect(await rowsOf('my-total', { fluid: 'water' })).toEqual([{ gallons: 420 }])
    fingerprint = 'three'
    expect(await rowsOf('my-total', { fluid: 'water' })).toEqual([{ gallons: 500 }])
    await warehouse.run("DELETE FROM answers.drop WHERE fire = 'F-3'")
    fingerprint = 'two'
  })

  test.each([
    ['reads-a-file', 'failed', /disabled by configuration/],
    ['reads-the-web', 'failed', /./],
    ['settings', 'failed', /./],
    ['no-such-table', 'failed', /there is no table answers\.nothing/],
    ['writes', 'refused', /only a SELECT/],
    ['two-statements', 'refused', /2 statements; write one SELECT/],
    ['misspelt', 'refused', /cannot be read: .*SELEC/],
    ['endless', 'too-slow', /stopped after 0\.4 s/],
    ['many-rows', 'too-many-rows', /more than 1,000 rows/],
  ])('%s is answered with %s', async (name, code, message) => {
    const problem = await problemOf(name)
    expect(problem.code).toBe(code)
    expect(problem.message).toMatch(message)
    expect(problem.message).not.toContain('\n')
  })

  test('and the records are as they were', async () => {
    expect(await warehouse.value('SELECT count(*) FROM answers.drop')).toBe(4)
  })
})
