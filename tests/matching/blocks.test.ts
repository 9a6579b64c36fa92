import { expect, it } from 'vitest'
import { blocksOf } from '../../src/matching/blocks.ts'
import { line } from './house.ts'
import { observationsOf } from './season.ts'

const [drop, load, flight] = [0, 1, 2]

const stepsOf = (lines: readonly ReturnType<typeof line>[]): readonly number[] => {
  const { o } = observationsOf(lines.map((one, obsNo) => ({ ...one, obsNo, truth: [] })))
  const blocks = blocksOf(o, 0, o.count)
  expect(blocks).toHaveLength(1)
  return blocks[0]!.steps
}

it('a crew may write drops to five minutes and flights to the minute', () => {
  const steps = stepsOf([
    line('flight', 'crew:d', '16:14', { until: '2026-07-04T16:51Z' }),
    line('flight', 'crew:d', '17:17', { until: '2026-07-04T18:02Z' }),
    ...['16:35', '17:50', '18:20'].map((at) => line('drop', 'crew:d', at)),
  ])
  expect([steps[drop], steps[flight]]).toEqual([300, 60])
})

it('a gauge may tell of drops to the second, its loads be noted to the minute', () => {
  const steps = stepsOf([
    ...['16:09', '17:09', '18:34'].map((at) => line('load', 'controller:c', at)),
    ...['16:34:27', '17:46:43', '19:15:03'].map((at) => line('drop', 'controller:c', at)),
  ])
  expect([steps[drop], steps[load]]).toEqual([1, 60])
})

it('what is too little to tell is rounded as the rest of the record', () => {
  const steps = stepsOf([
    line('flight', 'crew:d', '16:15', { until: '2026-07-04T16:50Z' }),
    line('flight', 'crew:d', '17:20', { until: '2026-07-04T18:05Z' }),
    line('drop', 'crew:d', '16:35'),
  ])
  expect([steps[drop], steps[flight]]).toEqual([300, 300])
})
