import { afterAll, beforeAll, expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'
import { expected } from '../simulator/worked-answers.ts'
import { workedExampleFiles } from '../simulator/worked-example.ts'

let house: House

beforeAll(async () => {
  house = await House.open()
  await house.ingest(
    await folderOf(Object.fromEntries(workedExampleFiles.map((file) => [file.path, file.text]))),
  )
})
afterAll(() => house.close())

test('inspections due on 31 July, as worked by hand', async () => {
  const rows = await house.rows('inspections-due', 'as_of=2026-07-31')
  expect(rows).toHaveLength(3)
  for (const want of expected['inspections-due'])
    expect(rows.find((row) => row.task === want.task && row.item === want.item)).toMatchObject(want)
})

test('what has been reached is due on the day that reached it; what has not, after today', async () => {
  const rows = await house.rows('inspections-due', 'as_of=2026-07-31')
  const emergency = rows.find((row) => row.task === 'ER')!
  // the ground test of 12 July was opening 106
  expect([emergency.due_on_p10, emergency.due_on_p50, emergency.due_on_p90]).toEqual([
    '2026-07-12',
    '2026-07-12',
    '2026-07-12',
  ])
  const door = rows.find((row) => row.item === 'D-A')!
  expect(door).toMatchObject({ status: 'plan', governs: true, since_last: 46, horizon: 5 })
  expect(String(door.due_on_p10) > '2026-07-31').toBe(true)
  expect(String(door.due_on_p50) >= String(door.due_on_p10)).toBe(true)
})

test('a day before the emergency nothing asks for the inspection after it', async () => {
  const rows = await house.rows('inspections-due', 'as_of=2026-07-03')
  expect(rows.map((row) => [row.task, row.item, row.total])).toEqual([
    ['DH', 'D-A', 100],
    ['DH', 'D-B', 100],
  ])
})
