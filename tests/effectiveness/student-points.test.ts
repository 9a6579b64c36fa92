import { expect, test } from 'vitest'
import { studentPoints } from '../../src/effectiveness/student-points.ts'
import { studentQuantile } from '../../src/statistics/index.ts'

test('the points of Student that are written out are those of the function, to the last bit', () => {
  expect(studentPoints).toHaveLength(120)
  studentPoints.forEach((point, index) => {
    expect(point).toBe(studentQuantile(0.975, index + 1))
  })
})
