import { expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'
import { ordinaryMess } from '../simulator/options.ts'
import { simulate } from '../simulator/simulate.ts'

interface Cycle {
  item: string
  counter: string
  total: number
}

test('in a messy season no door, tank or part counts less than what left a trace', async () => {
  const { files, truth } = simulate({
    seed: 21,
    layout: 'canonical',
    days: 45,
    aircraft: 4,
    mess: { ...ordinaryMess, unrecorded_releases: 6 },
  })
  const house = await House.open()
  const report = await house.ingest(
    await folderOf(Object.fromEntries(files.map((file) => [file.path, file.bytes]))),
  )
  expect(report.totals.read).toBeGreaterThan(500)
  const rows = await house.rows<Cycle>('tank-cycles', 'as_of=2026-12-31')
  await house.close()
  const totals = new Map(rows.map((row) => [`${row.item} ${row.counter}`, row.total]))
  const counters = ['openings', 'door-cycles', 'emergency-releases']
  const wanted = truth.accountableCycles.filter((cycle) => counters.includes(cycle.counter))
  expect(wanted.filter((cycle) => cycle.counter === 'door-cycles').length).toBeGreaterThan(10)
  const short = wanted
    .map((cycle) => ({ ...cycle, found: totals.get(`${cycle.item} ${cycle.counter}`) ?? 0 }))
    .filter((cycle) => cycle.found < cycle.total)
  expect(short).toEqual([])
})
