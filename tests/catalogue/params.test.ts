import { describe, expect, test } from 'vitest'
import { checkParams, isDay, nearest, readQuestion } from '../../src/catalogue/index.ts'

const question = readQuestion(
  'q',
  'q.sql',
  '-- title: Q\n-- params: season, from, count:number\nSELECT 1',
  true,
)

describe('params', () => {
  test('unset ones are null, and so is an empty text', () => {
    expect(checkParams(question, { season: ' 2026 ', from: '' })).toEqual({
      season: '2026',
      from: null,
      count: null,
    })
    expect(checkParams(question, { count: '12.5' })).toEqual({ season: null, from: null, count: 12.5 })
  })

  test('an unknown one names the nearest', () => {
    expect(() => checkParams(question, { seson: '2026' })).toThrow(
      /did you mean season\? it takes season, from, count/,
    )
  })

  test.each(['2026-02-30', '04.07.2026', '2026-7-4', 'July'])('%s is no day', (text) => {
    expect(isDay(text)).toBe(false)
    expect(() => checkParams(question, { from: text })).toThrow(
      /q: from=.* is not a day; write it as 2026-07-04/,
    )
  })

  test('a leap day is a day', () => {
    expect(isDay('2024-02-29')).toBe(true)
    expect(isDay('2026-02-29')).toBe(false)
  })

  test('a number that is none', () => {
    expect(() => checkParams(question, { count: 'many' })).toThrow(/not a number/)
  })
})

describe('nearest', () => {
  const names = ['gallons-by-fire', 'gallons-by-base', 'drops', 'loads', 'tank-cycles']
  test.each([
    ['galons-by-fire', 'gallons-by-fire'],
    ['drop', 'drops'],
    ['DROPS', 'drops'],
    ['tank', 'tank-cycles'],
    ['weather-report', null],
    ['xx', null],
  ])('%s → %s', (written, expected) => {
    expect(nearest(written, names)).toBe(expected)
  })
})
