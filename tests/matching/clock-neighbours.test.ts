import { describe, expect, test } from 'vitest'
import { Neighbours } from '../../src/matching/clock-neighbours.ts'
import type { Speaker } from '../../src/matching/clock-voices.ts'

const day = 86_400
const block = { aircraft: 1, source: 1, start: 100 * day }

/** A speaker so many days away, with an offset in minutes. */
const says = (aircraft: number, days: number, minutes: number, isStrong = false): Speaker => ({
  aircraft,
  source: 1,
  start: block.start + days * day,
  offset: minutes * 60,
  isStrong,
  against: 0,
})
const heard = (...speakers: Speaker[]): number => new Neighbours(speakers, [0, 1]).common.offsetOf(block) / 60

describe('other aircraft of the same days', () => {
  test.each([
    ['one alone says nothing', [60], Number.NaN],
    ['two that agree', [60, 61], 60.5],
    ['two that do not: no clock stands half way between them', [60, 0], Number.NaN],
    ['most of three', [60, 0, 60], 60],
    ['three that all differ', [60, 0, -120], Number.NaN],
    ['two against two', [60, 60, 0, 0], Number.NaN],
    ['three against one', [60, 59, 0, 60], 59.5],
  ])('%s', (_, offsets, want) => {
    expect(heard(...offsets.map((minutes, index) => says(index + 2, 0, minutes)))).toBe(want)
  })
})

describe('days around of the same aircraft', () => {
  test('go before other aircraft', () => {
    expect(heard(says(1, -2, 60), says(2, 0, 0), says(3, 0, 0))).toBe(60)
  })
  test('a clock that was set right between two days is taken as on the nearer one', () => {
    expect(heard(says(1, -2, 60), says(1, 1, 0))).toBe(0)
    expect(heard(says(1, -1, 60, true), says(1, 2, 0, true))).toBe(60)
    expect(heard(says(1, -1, 60), says(1, 2, 0), says(1, -3, 60), says(1, 4, 0))).toBe(60)
  })
  test('days that differ by little are taken together', () => {
    expect(heard(says(1, -1, 60), says(1, 2, 62))).toBe(61)
  })
})
