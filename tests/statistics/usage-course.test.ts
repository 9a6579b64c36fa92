import { expect, test } from 'vitest'
import { accumulate, passageDays, passagePerPath, useByDay } from '../../src/statistics/passage.ts'
import {
  activeDays,
  courseOf,
  coursePassageDays,
  coursePassages,
  courseUseByDay,
  meanCourseUse,
  onActiveDays,
} from '../../src/statistics/usage-course.ts'
import { fitUsage } from '../../src/statistics/usage-model.ts'
import { planActive, planUsage } from '../../src/statistics/usage-paths.ts'
import { bursty } from './bursty-seasons.ts'

const world = bursty(3)
const model = fitUsage(world, { asOf: world.firstDay + world.days - 365 + 200 })!
const asked = { unit: 2, horizon: 400, seed: 'a' }
const plan = planUsage(model, asked)
const days = activeDays([world.counts], world.counts.length)
const counts = onActiveDays(days, world.counts)
const active = planActive(model, asked, days)

test.each([true, false])(
  'days of use only, whole %s: the same passages as day by day, to the last bit',
  (whole) => {
    const dense = accumulate(plan, world.counts, { whole })
    const course = courseOf(active, counts, { whole })
    expect(course.days.length).toBeLessThan(dense.cumulative.length / 3)
    for (const limit of [0, 0.5, 1, 2, 7, 20, 50, 120, 300, 1e9]) {
      expect(coursePassageDays(course, limit)).toEqual(passageDays(dense, limit))
      expect(coursePassages(course, limit)).toEqual(passagePerPath(dense, limit).sort())
    }
    for (const day of [0, 13, 29, 180, 399])
      expect(courseUseByDay(course, day, [0.1, 0.5, 0.9])).toEqual(useByDay(dense, day))
    for (let p = 0; p < plan.paths; p++) {
      const last = course.starts[p + 1]! - 1
      if (last >= course.starts[p]!) expect(course.reached[last]).toBe(dense.cumulative[p * 400 + 399])
    }
  },
)

test('mean use over a span is the mean of the paths', () => {
  const dense = accumulate(plan, world.counts)
  const course = courseOf(active, counts)
  for (const span of [1, 14, 60, 400]) {
    let sum = 0
    for (let p = 0; p < plan.paths; p++) sum += dense.cumulative[p * 400 + span - 1]!
    expect(meanCourseUse(course, span)).toBeCloseTo(sum / plan.paths, 9)
  }
  expect(useByDay(dense, 399, [1])[0]).toBeGreaterThan(0)
})

test('a history without a day of use gives courses that never reach anything', () => {
  const idle = courseOf(planActive(model, asked, activeDays([], world.counts.length)), new Float64Array())
  expect(coursePassageDays(idle, 1)).toEqual([null, null, null])
  expect(meanCourseUse(idle, 14)).toBe(0)
})

test('a unit that was not watched for some days: the same futures, day by day and on days of use only', () => {
  const gappy = { ...world, counts: world.counts.slice() }
  for (const from of [150, 540, 560, 900]) gappy.counts.fill(Number.NaN, from, from + 9)
  const other = fitUsage(gappy, { asOf: world.firstDay + world.days - 365 + 200 })!
  const dense = accumulate(planUsage(other, asked), gappy.counts)
  const course = courseOf(planActive(other, asked, days), onActiveDays(days, gappy.counts))
  for (const limit of [1, 7, 50, 120])
    expect(coursePassageDays(course, limit)).toEqual(passageDays(dense, limit))
})
