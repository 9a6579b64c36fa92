import { expect, test } from 'vitest'
import { driftChart } from '../../src/statistics/index.ts'
import { sampleOptions } from '../simulator/sample-season.ts'
import { simulate } from '../simulator/simulate.ts'

const seasons = 16

/**
 * Seasons like the one in `sample-logs`, with every tank stable: what its charts call drift is chance. Tanks have few drops,
 * and limits rest on the first 30 of them, so this is the hardest case for the rate that the pages state.
 */
test('seasons without drift alarm less than once in 500 drops watched', { timeout: 300_000 }, () => {
  let watched = 0
  let alarms = 0
  for (let at = 0; at < seasons; at++) {
    const { truth } = simulate({
      ...sampleOptions,
      seed: 100 + at,
      drifts: [],
      traces: 0,
      positions: 0,
      contracts: false,
    })
    for (const errors of settingErrors(truth.drops).values()) {
      const { alarm, status } = driftChart(Float64Array.from(errors))
      if (!alarm && status !== 'stable') continue
      watched += Math.max(0, (alarm ? alarm.index + 1 : errors.length) - 30)
      if (alarm) alarms++
    }
  }
  expect(watched).toBeGreaterThan(8_000)
  expect(alarms / watched).toBeLessThan(1 / 500)
})

interface Drop {
  tank: string
  purpose: string
  volume_gal: number
  commanded_gal: number | null
}

function settingErrors(drops: readonly Drop[]): Map<string, number[]> {
  const byTank = new Map<string, number[]>()
  for (const { tank, purpose, volume_gal, commanded_gal } of drops) {
    if (!commanded_gal || purpose === 'emergency' || purpose === 'ground-test') continue
    const list = byTank.get(tank) ?? []
    byTank.set(tank, list)
    list.push((100 * (volume_gal - commanded_gal)) / commanded_gal)
  }
  return byTank
}
