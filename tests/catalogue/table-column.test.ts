import { expect, test } from 'vitest'
import { shownColumn } from '../../src/catalogue/table-column.ts'

test('a column of one measure has one number of decimals, a mixed one those that each cell needs', () => {
  expect(shownColumn('volume_gal', 'number', [1068.68, 0.3]).texts).toEqual(['1,069', '0'])
  expect(shownColumn('season_value', 'number', [1068.68, 1.6393, -0.0472, 85]).texts).toEqual([
    '1,069',
    '1.64',
    '-0.047',
    '85',
  ])
})

test('what rounds to zero has no sign', () => {
  expect(shownColumn('bias_pct', 'number', [-0.0001, 1.5]).texts).toEqual(['0.00', '1.50'])
})
