import { describe, expect, test } from 'vitest'
import { changePoint } from '../../src/statistics/change-point.ts'
import { type DriftChart, driftChart, stableMoments } from '../../src/statistics/drift.ts'
import { random } from '../../src/statistics/random.ts'

const NOISE = 0.03
const RUNS = 250

/** A run with a bias of its own, noise of 3 %, and a drift that begins at index `start`. */
function run(seed: string, length: number, start: number, drift: (k: number) => number): Float64Array {
  const draw = random(seed)
  return Float64Array.from(
    { length },
    (_, t) => 0.01 + NOISE * draw.normal() + (t < start ? 0 : drift(t - start + 1)),
  )
}

const none = (): number => 0
const step = (): number => 0.03
const ramp = (k: number): number => (0.01 * k) / 20

/** Median number of values from the start of the drift to the alarm, over runs without an alarm before it. */
function medianDelay(drift: (k: number) => number, start: number): number {
  const delays: number[] = []
  for (let i = 0; i < RUNS; i++) {
    const { alarm } = driftChart(run(`delay ${i}`, start + 250, start, drift))
    if (alarm === null) delays.push(Number.POSITIVE_INFINITY)
    else if (alarm.index >= start) delays.push(alarm.index - start + 1)
  }
  return delays.sort((a, b) => a - b)[delays.length >> 1]!
}

/** False alarms per 500 stable values watched after the baseline, each run ending at its alarm or after `watched` values. */
function falseAlarms(
  baseline: number,
  watched: number,
  spoil: (x: Float64Array, i: number) => void = () => {},
): number {
  let alarms = 0
  let values = 0
  for (let i = 0; i < RUNS; i++) {
    const x = run(`stable ${i}`, baseline + watched, 0, none)
    spoil(x, i)
    const { alarm } = driftChart(x, { baseline })
    alarms += alarm ? 1 : 0
    values += alarm ? alarm.index - baseline + 1 : watched
  }
  return (500 * alarms) / values
}

describe('250 invented runs each with noise of 3 %', () => {
  test.each([
    [20, 500],
    [30, 500],
    [60, 500],
    [150, 500],
    [30, 1500],
  ])('under 1 false alarm per 500 stable values: baseline %i, %i watched', (baseline, watched) => {
    const rate = falseAlarms(baseline, watched)
    console.log(
      `false alarms per 500 stable values, baseline ${baseline}, ${watched} watched: ${rate.toFixed(2)}`,
    )
    expect(rate).toBeLessThan(1)
    expect(rate).toBeGreaterThan(0.3) // limits that never alarm would be useless
  })

  test('one wild value in a hundred, ten times the noise, does not raise the rate above 1', () => {
    const rate = falseAlarms(30, 500, (x, i) => {
      const draw = random(`wild ${i}`)
      for (let t = 0; t < x.length; t++)
        if (draw.uniform() < 0.01) x[t] = x[t]! + (draw.uniform() < 0.5 ? 0.3 : -0.3)
    })
    expect(rate).toBeLessThan(1)
  })

  test.each([
    [30, 15, 53],
    [70, 15, 50],
    [130, 15, 50],
  ])(
    'drift that begins after %i values: medians within %i for a step of 3 per cent and %i for a ramp of 1 per cent in 20',
    (start, ofStep, ofRamp) => {
      const steps = medianDelay(step, start)
      const ramps = medianDelay(ramp, start)
      console.log(`drift after ${start} values: median delay ${steps} for the step, ${ramps} for the ramp`)
      expect(steps).toBeLessThanOrEqual(ofStep)
      expect(ramps).toBeLessThanOrEqual(ofRamp)
    },
  )

  test('the interval of the change point holds the true start of a step in about nine of ten, of a ramp in most', () => {
    const share = (drift: (k: number) => number): number => {
      let held = 0
      let alarms = 0
      for (let i = 0; i < RUNS; i++) {
        const { alarm } = driftChart(run(`change ${i}`, 320, 70, drift))
        if (alarm === null || alarm.index < 70) continue
        alarms += 1
        held += alarm.change.low <= 70 && 70 <= alarm.change.high ? 1 : 0
      }
      return held / alarms
    }
    const steps = share(step)
    const ramps = share(ramp)
    console.log(`change point inside its interval: step ${steps.toFixed(3)}, ramp ${ramps.toFixed(3)}`)
    expect(steps).toBeGreaterThan(0.88)
    expect(ramps).toBeGreaterThan(0.7)
  })
})

describe('the chart', () => {
  const drifting = (): DriftChart => driftChart(run('one', 150, 80, () => 0.06))

  test('names the alarm, its direction and where the run began', () => {
    const { status, alarm } = drifting()
    expect(status).toBe('alarm')
    expect(alarm!.direction).toBe('high')
    expect(alarm!.index).toBeGreaterThanOrEqual(80)
    expect(alarm!.index).toBeLessThan(95)
    expect(Math.abs(alarm!.runStart - 80)).toBeLessThan(8)
    expect(Math.abs(alarm!.change.index - 80)).toBeLessThan(6)
    expect(alarm!.change.low).toBeLessThanOrEqual(alarm!.change.index)
    expect(alarm!.change.high).toBeGreaterThanOrEqual(alarm!.change.index)
    expect(alarm!.change.high).toBeLessThanOrEqual(alarm!.index)
  })

  test('an alarm is raised where, and only where, the named series first leaves its limits', () => {
    const { alarm, quick, slow } = drifting()
    const outside = (t: number): boolean =>
      [quick, slow].some((s) => s.ewma[t]! > s.upper[t]! || s.ewma[t]! < s.lower[t]!)
    for (let t = 30; t < alarm!.index; t++) expect(outside(t)).toBe(false)
    expect(outside(alarm!.index)).toBe(true)
  })

  test('what comes later does not change an alarm', () => {
    const x = run('later', 200, 60, step)
    const { alarm } = driftChart(x)
    expect(driftChart(x.subarray(0, alarm!.index + 1)).alarm).toEqual(alarm)
    expect(driftChart(x.subarray(0, alarm!.index)).alarm).toBeNull()
  })

  test('mirrored values give the mirrored alarm', () => {
    const x = run('mirror', 150, 60, step)
    const up = driftChart(x).alarm!
    const down = driftChart(x.map((v) => -v)).alarm!
    expect(down).toEqual({ ...up, direction: up.direction === 'high' ? 'low' : 'high' })
  })

  test('one wild value neither alarms nor moves the limits by much', () => {
    const x = run('calm', 120, 0, none)
    const before = driftChart(x)
    expect(before.status).toBe('stable')
    x[50] = 5
    const after = driftChart(x)
    expect(after.status).toBe('stable')
    expect(Math.abs(after.center! - before.center!)).toBeLessThan(0.003)
    expect(Math.abs(after.sd! / before.sd! - 1)).toBeLessThan(0.1)
  })

  test('limits narrow as the stable period grows', () => {
    const { slow } = driftChart(run('narrow', 160, 0, none))
    const width = (t: number): number => slow.upper[t]! - slow.lower[t]!
    expect(width(150)).toBeLessThan(width(100))
    expect(Number.isNaN(slow.upper[29]!)).toBe(true)
  })

  test('no verdict before the baseline is full; constant values are stable; bad input is refused', () => {
    expect(driftChart(run('short', 30, 0, none)).status).toBe('learning')
    expect(driftChart([]).status).toBe('learning')
    expect(driftChart(new Float64Array(60).fill(0.02)).status).toBe('stable')
    expect(() => driftChart([0.01, Number.NaN])).toThrow(/finite/)
    expect(() => driftChart([0.01], { baseline: 5 })).toThrow(/at least 10/)
  })
})

test('center and spread of normal values are estimated without bias in spite of the winsorising', () => {
  let center = 0
  let sd = 0
  for (let i = 0; i < 400; i++) {
    const draw = random(`moments ${i}`)
    const m = stableMoments(Float64Array.from({ length: 100 }, () => 3 + 2 * draw.normal()))
    center += m.center / 400
    sd += m.sd / 400
  }
  expect(center).toBeCloseTo(3, 1)
  expect(Math.abs(sd / 2 - 1)).toBeLessThan(0.015)
})

test('a clean step is found exactly, a clean ramp as a ramp', () => {
  const at = { center: 0, sd: 1 }
  expect(changePoint(Float64Array.from([0, 0, 0, 0, 0, 2, 2, 2, 2]), at)).toMatchObject({
    index: 5,
    shape: 'step',
  })
  expect(
    changePoint(
      Float64Array.from({ length: 30 }, (_, t) => Math.max(0, (t - 19) * 0.3)),
      at,
    ),
  ).toMatchObject({
    index: 20,
    shape: 'ramp',
  })
})
