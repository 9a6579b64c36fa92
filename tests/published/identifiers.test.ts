/**
 * United States registrations: FAA, "Forming an N-Number" (aircraft registry pages). Minutes to tenths of an hour: the
 * usual logbook table, which rounds half up.
 */
import { expect, test } from 'vitest'
import { billedHours, isUnitedStatesRegistration, minutesToHours } from '../../src/values/index.ts'

test('registration syntax', () => {
  const valid = ['N12345', 'N1A', 'N1234Z', 'N24BY', 'N123AZ', 'N1', 'N99999']
  const invalid = [
    'N01Z',
    'N1I2',
    'N123456',
    'NAB12',
    'N0',
    'N12345A',
    'N1234AB',
    'N12O',
    'N',
    '12345',
    'n12345',
  ]
  expect(valid.filter((text) => !isUnitedStatesRegistration(text))).toEqual([])
  expect(invalid.filter((text) => isUnitedStatesRegistration(text))).toEqual([])
})

test('minutes to tenths: 0–2 0.0, 3–8 .1, 9–14 .2, … 57–60 1.0', () => {
  const lastMinute = [2, 8, 14, 20, 26, 32, 38, 44, 50, 56, 60]
  const table = Array.from({ length: 61 }, (_, minute) => lastMinute.findIndex((last) => minute <= last) / 10)
  expect(Array.from({ length: 61 }, (_, minute) => minutesToHours(minute))).toEqual(table)
})

test('a contract may round up or down, to hundredths, per flight or per day', () => {
  expect([61, 66, 67].map((minutes) => minutesToHours(minutes, 0.1, 'up'))).toEqual([1.1, 1.1, 1.2])
  expect([61, 65, 66].map((minutes) => minutesToHours(minutes, 0.1, 'down'))).toEqual([1, 1, 1.1])
  expect(minutesToHours(1, 0.01)).toBe(0.02)
  expect(billedHours([33, 33], { step: 0.1, rounding: 'half-up', per: 'flight' })).toBe(1.2)
  expect(billedHours([33, 33], { step: 0.1, rounding: 'half-up', per: 'day' })).toBe(1.1)
  expect(() => minutesToHours(1.5)).toThrow('whole number of minutes')
})
