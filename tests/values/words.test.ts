import { expect, test } from 'vitest'
import {
  type Read,
  readCoverageLevel,
  readDoors,
  readDurationMonthsOrNumber,
  readFluid,
  readFraction,
  readHoursRounding,
  readPurpose,
  readWitness,
  readYesNo,
  readYesNoUnknown,
} from '../../src/values/index.ts'

const got = <T>(read: Read<T>): T | null => (read.ok ? read.value : null)
const all = <T>(reader: (text: string) => Read<T>, texts: string[]) => texts.map((text) => got(reader(text)))

test('fractions of a load in all spellings', () => {
  for (const text of [
    '1/4',
    '¼',
    '0.25',
    ',25',
    '25%',
    '25 %',
    'quarter',
    'Quarter',
    'one quarter',
    'a quarter',
    '2/8',
    '1 / 4',
    '.25',
    '1 qtr',
  ])
    expect(got(readFraction(text)), text).toBe(0.25)
  for (const text of ['1/2', '½', '2/4', 'half', 'HALF', '50%', '0,5', 'half load'])
    expect(got(readFraction(text)), text).toBe(0.5)
  for (const text of ['full', 'Full load', 'whole', '1', '100%', '1/1', '4/4', '1.0', 'salvo'])
    expect(got(readFraction(text)), text).toBe(1)
  expect(all(readFraction, ['three quarters', '3/4', '¾', '1/3', 'two thirds'])).toEqual([
    0.75,
    0.75,
    0.75,
    1 / 3,
    2 / 3,
  ])
  expect(all(readFraction, ['0', '5/4', '150%', '1/0', '-1/4', 'some', '', '2', 'quarter pounder'])).toEqual([
    null,
    null,
    null,
    null,
    null,
    null,
    null,
    null,
    null,
  ])
  expect(readFraction('5/4')).toEqual({ ok: false, reason: 'a share of a load is at most 1' })
})

test('closed lists of words', () => {
  expect(all(readFluid, ['Water', 'H2O', 'RET', 'long-term retardant', 'gel', 'FOAM', 'milk'])).toEqual([
    'water',
    'water',
    'retardant',
    'retardant',
    'gel',
    'foam',
    null,
  ])
  expect(
    all(readPurpose, [
      'fire',
      'FIRE DROP',
      'Jettison',
      'jett.',
      'E-dump',
      'emergency',
      'TRNG',
      'ground-test',
      'Door Test',
      'picnic',
    ]),
  ).toEqual([
    'fire',
    'fire',
    'jettison',
    'jettison',
    'emergency',
    'emergency',
    'training',
    'ground-test',
    'ground-test',
    null,
  ])
  expect(all(readWitness, ['Controller', 'pilot', 'GPS', 'ticket', 'Dispatch', 'manual', 'nobody'])).toEqual([
    'controller',
    'crew',
    'tracker',
    'ticket',
    'dispatch',
    'manual',
    null,
  ])
  expect(all(readYesNo, ['Yes', 'y', 'TRUE', '1', 'no', 'N', '0', 'unknown'])).toEqual([
    'yes',
    'yes',
    'yes',
    'yes',
    'no',
    'no',
    'no',
    null,
  ])
  expect(all(readYesNoUnknown, ['unk', '?', 'not observed', 'yes'])).toEqual([
    'unknown',
    'unknown',
    'unknown',
    'yes',
  ])
  expect(all(readHoursRounding, ['half-up', 'Half Up', 'up', 'down', 'sideways'])).toEqual([
    'half-up',
    'half-up',
    'up',
    'down',
    null,
  ])
  expect(readFluid('milk')).toEqual({ ok: false, reason: 'not a fluid (water, retardant, gel, foam)' })
})

test('doors', () => {
  expect(
    all(
      (text) => readDoors(text),
      ['1;2', '1,2', 'door-1;door-2', '2 1', 'D1 & D2', '1-2', 'doors 1 to 2', '1;1;2'],
    ),
  ).toEqual(Array(8).fill(['door-1', 'door-2']))
  expect(all((text) => readDoors(text, 4), ['1-4', 'all', 'ALL DOORS', '3'])).toEqual([
    ['door-1', 'door-2', 'door-3', 'door-4'],
    'all',
    'all',
    ['door-3'],
  ])
  expect(readDoors('5', 4)).toEqual({ ok: false, reason: 'door 5 of a tank with 4' })
  expect(all((text) => readDoors(text), ['0', '3-1', 'left', ''])).toEqual([null, null, null, null])
})

test('coverage levels and intervals', () => {
  expect(all(readCoverageLevel, ['4', 'CL4', 'cl 4', '4 gpc', '4.0', 'Level 4'])).toEqual(
    Array(6).fill({ level: 4, openEnded: false }),
  )
  expect(all(readCoverageLevel, ['>6', '6+', 'CL >6', '0,5', 'high', ''])).toEqual([
    { level: 6, openEnded: true },
    { level: 6, openEnded: true },
    { level: 6, openEnded: true },
    { level: 0.5, openEnded: false },
    null,
    null,
  ])
  expect(
    all(readDurationMonthsOrNumber, [
      '6mo',
      '6 months',
      '1y',
      '100',
      '2,500',
      '30 days',
      '12 parsecs',
      '0mo',
      '-5',
    ]),
  ).toEqual([
    { months: 6 },
    { months: 6 },
    { months: 12 },
    { count: 100 },
    { count: 2500 },
    { count: 30 },
    null,
    null,
    null,
  ])
})
