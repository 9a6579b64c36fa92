import { describe, expect, test } from 'vitest'
import { random } from '../../src/statistics/random.ts'
import { twoWayFit } from '../../src/statistics/two-way.ts'
import fc from '../chance.ts'

interface Pairs {
  row: number[]
  column: number[]
  y: number[]
}

/** Pairs with known effects: rows 0..r − 1 at `base`, columns at `tank` (median 0). */
function pairs(seed: string, base: number[], tank: number[], each: number, noise: number, wild = 0): Pairs {
  const draw = random(seed)
  const out: Pairs = { row: [], column: [], y: [] }
  base.forEach((b, i) => {
    for (let k = 0; k < each; k++) {
      const j = draw.below(tank.length)
      out.row.push(i)
      out.column.push(j)
      const slip = draw.uniform() < wild ? (draw.uniform() < 0.5 ? Math.log(2) : Math.log(10)) : 0
      out.y.push(b + tank[j]! + noise * draw.normal() + slip)
    }
  })
  return out
}

const BASE = [0.03, -0.02, 0, 0.01, -0.005]
const TANK = [-0.02, -0.01, 0, 0.015, 0.03]
const fitted = (p: Pairs, rows = BASE.length, columns = TANK.length) =>
  twoWayFit(p.row, p.column, p.y, { rows, columns })

test('without noise the effects come back exactly, the median column effect being 0', () => {
  const { rows, columns } = fitted(pairs('exact', BASE, TANK, 40, 0))
  BASE.forEach((b, i) => {
    expect(rows[i]!.effect).toBeCloseTo(b, 12)
    expect(rows[i]!.pairs).toBe(40)
  })
  TANK.forEach((t, j) => {
    expect(columns[j]!).toBeCloseTo(t, 12)
  })
})

describe('wild values', () => {
  test.each([
    ['twice', 2],
    ['ten times', 10],
    ['a tenth', 0.1],
  ])('one ticket of %s the amount moves nothing', (_, ratio) => {
    const p = pairs('wild', BASE, TANK, 20, 0.015)
    const before = fitted(p)
    const y = p.y.slice()
    y[7]! += Math.log(ratio)
    const after = fitted({ ...p, y })
    // what remains is the loss of that one pair
    const without = fitted({
      row: p.row.filter((_v, k) => k !== 7),
      column: p.column.filter((_v, k) => k !== 7),
      y: p.y.filter((_v, k) => k !== 7),
    })
    BASE.forEach((_b, i) => {
      expect(Math.abs(after.rows[i]!.effect - without.rows[i]!.effect)).toBeLessThan(5e-4)
      expect(Math.abs(after.rows[i]!.effect - before.rows[i]!.effect)).toBeLessThan(0.003)
    })
    expect(after.weights[7]).toBeLessThan(1e-5)
  })

  test('one in ten wild, and the intervals still hold', () => {
    const { rows } = fitted(pairs('many wild', BASE, TANK, 60, 0.015, 0.1))
    BASE.forEach((b, i) => {
      expect(rows[i]!.low!).toBeLessThan(b)
      expect(rows[i]!.high!).toBeGreaterThan(b)
      expect(rows[i]!.high! - rows[i]!.low!).toBeLessThan(0.03)
    })
  })
})

test.each([
  [10, 0.02],
  [40, 0.02],
  [40, 0],
])(
  '95 per cent intervals with %i pairs a row and a share of %d wild hold the truth as often over 150 tables',
  (each, wild) => {
    let held = 0
    let all = 0
    for (let k = 0; k < 150; k++) {
      fitted(pairs(`cover ${each} ${k}`, BASE, TANK, each, 0.015, wild)).rows.forEach((r, i) => {
        all += 1
        // the middle column of the truth is 0; which column is the median of the fit may differ, so the truth is about it
        held += r!.low! <= BASE[i]! && BASE[i]! <= r!.high! ? 1 : 0
      })
    }
    console.log(
      `two-way intervals, ${each} pairs a row, ${wild} wild: ${((100 * held) / all).toFixed(1)} % hold`,
    )
    expect(held / all).toBeGreaterThan(0.93)
    expect(held / all).toBeLessThan(0.995)
  },
)

describe('thin tables', () => {
  test('a base with its own tanks only is a group of its own', () => {
    const { rows, columns } = twoWayFit(
      [0, 0, 1, 1, 2, 2],
      [0, 1, 0, 1, 2, 2],
      [0.1, 0.1, 0.2, 0.2, 0.5, 0.52],
      {
        rows: 4,
        columns: 4,
      },
    )
    expect(rows[0]!.group).toBe(rows[1]!.group)
    expect(rows[2]!.group).not.toBe(rows[0]!.group)
    expect(rows[2]!.effect).toBeCloseTo(0.51, 10)
    expect(rows[3]).toBeNull()
    expect(columns[3]).toBeNaN()
  })
  test('one pair: an effect without an interval', () => {
    const { rows, scale } = twoWayFit([0], [0], [0.3], { rows: 1, columns: 1 })
    expect(rows[0]).toMatchObject({ effect: 0.3, low: null, high: null, pairs: 1 })
    expect(scale).toBeNull()
  })
  test('no pairs', () => {
    expect(twoWayFit([], [], [], { rows: 2, columns: 1 }).rows).toEqual([null, null])
  })
  test('a pair outside the table, or not a number, is refused', () => {
    expect(() => twoWayFit([2], [0], [0], { rows: 2, columns: 1 })).toThrow(/pair 1/)
    expect(() => twoWayFit([0], [0], [Number.NaN], { rows: 2, columns: 1 })).toThrow(/pair 1/)
    expect(() => twoWayFit([0], [0, 0], [1], { rows: 2, columns: 1 })).toThrow(/per value/)
  })
})

test('the order of the pairs changes no last bit; a common shift of y shifts the rows alone', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 1e6 }),
      fc.double({ min: -1, max: 1, noNaN: true }),
      (seed, shift) => {
        const p = pairs(`law ${seed}`, BASE, TANK, 6, 0.02, 0.05)
        const plain = fitted(p)
        const order = p.y.map((_, k) => k).sort((a, b) => ((a * 7919 + seed) % 31) - ((b * 7919 + seed) % 31))
        const shuffled = fitted({
          row: order.map((k) => p.row[k]!),
          column: order.map((k) => p.column[k]!),
          y: order.map((k) => p.y[k]!),
        })
        expect(shuffled.rows).toEqual(plain.rows)
        expect(shuffled.columns).toEqual(plain.columns)
        const moved = fitted({ ...p, y: p.y.map((v) => v + shift) })
        plain.rows.forEach((r, i) => {
          expect(moved.rows[i]!.effect).toBeCloseTo(r!.effect + shift, 8)
        })
      },
    ),
    { numRuns: 40 },
  )
})
