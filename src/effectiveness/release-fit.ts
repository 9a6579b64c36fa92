import { quantileSorted } from '../statistics/index.ts'
import { solveInPlace } from './solve.ts'
import { spread } from './spread.ts'

/**
 * A release read from level against time. Volumes in US gal, times in seconds of the record.
 *
 * The curve has three parts that join: a level, a fall, a level. With s the share of the time of flow from `starts_s` to `ends_s`,
 * the fall is `volume * (s + bend * (s - s^2))`: flow falls linearly where bend is positive (gravity), is constant where it is 0.
 */
export interface Release {
  starts_s: number
  ends_s: number
  /** Standard error of the time from start to end. */
  length_se_s: number
  level_before_gal: number
  volume_gal: number
  volume_se_gal: number
  bend: number
  /** Of the fit with a bend, also where the bend was then taken as 0. */
  bend_se: number
  /** Robust standard deviation of the samples about the curve. */
  noise_gal: number
  /** The flow had begun within the first three samples, or had not ended before the last three. */
  isCutAtStart: boolean
  isCutAtEnd: boolean
}

const P = 5
const rounds = 12
const enoughSamples = 8

/** Work space of one thread of fits, so that a million samples need no million arrays. */
const jtj = new Float64Array(P * P)
const jtr = new Float64Array(P)

/**
 * Fits the curve to one trace by Gauss and Newton with weights after Huber, from the times at which the smoothed level has fallen by
 * 15 and 85 percent. A bend within two standard errors of 0 is taken as 0 and the rest fitted again, since on a short release a bend
 * that is only noise would spoil the times. `t` rises (equal times are allowed), `level` is finite. Null when there are under 8
 * samples or nothing stands out of the noise.
 * Of a long record, only as much before and after the fall is used as the fall is long, and a second at least.
 */
export function fitRelease(allTimes: Float64Array, allLevels: Float64Array): Release | null {
  if (allTimes.length < enoughSamples) return null
  const p = firstGuess(allTimes, allLevels)
  if (p === null) return null
  const [from, to] = aboutTheFall(allTimes, p)
  const t = allTimes.subarray(from, to)
  const level = allLevels.subarray(from, to)
  const n = t.length
  if (n < enoughSamples) return null
  const residual = new Float64Array(n)
  let scale = refine(t, level, p, residual, true)
  let spreads = standardErrors(t, level, p, scale, true)
  if (!(Math.abs(p[2]!) > 2 * spreads.curve)) {
    p[2] = 0
    scale = refine(t, level, p, residual, false)
    spreads = { ...standardErrors(t, level, p, scale, false), curve: spreads.curve }
  }
  const [before, volume, curve, starts, length] = p as unknown as [number, number, number, number, number]
  if (!(volume > 4 * scale) || !(length > 0)) return null
  const step = (t[n - 1]! - t[0]!) / (n - 1)
  return {
    starts_s: starts,
    ends_s: starts + length,
    length_se_s: spreads.length,
    level_before_gal: before,
    volume_gal: volume,
    volume_se_gal: spreads.volume,
    bend: curve / volume,
    bend_se: spreads.curve / volume,
    noise_gal: scale,
    isCutAtStart: starts <= allTimes[0]! + 3 * step,
    isCutAtEnd: starts + length >= allTimes[allTimes.length - 1]! - 3 * step,
  }
}

/** Moves p to the best fit, in place; gives the spread of the samples about it. */
function refine(
  t: Float64Array,
  level: Float64Array,
  p: Float64Array,
  residual: Float64Array,
  isBent: boolean,
): number {
  const n = t.length
  const span = t[n - 1]! - t[0]!
  const step = span / (n - 1)
  let scale = spread(residualsOf(t, level, p, residual))
  let best = weightedCost(residual, scale)
  let damping = 1e-3
  let isSettled = false
  for (let round = 0; round < rounds; round++) {
    accumulate(t, level, p, scale, isBent)
    const next = advance(p, damping, step, t[0]!, span)
    if (next === null) break
    const cost = weightedCost(residualsOf(t, level, next, residual), scale)
    if (!(cost <= best)) {
      damping *= 10
      if (damping > 1e6) break
      continue
    }
    const gain = (best - cost) / Math.max(best, 1e-12)
    p.set(next)
    damping = Math.max(damping / 5, 1e-9)
    best = cost
    if (round !== 2 && gain >= 1e-4) continue
    if (isSettled) break
    isSettled = round !== 2
    scale = spread(residual)
    best = weightedCost(residual, scale)
  }
  return spread(residualsOf(t, level, p, residual))
}

/** Level before, volume, curvature, start, length: from where the smoothed level has fallen by a tenth and by nine tenths. */
function firstGuess(t: Float64Array, level: Float64Array): Float64Array | null {
  const n = t.length
  const smooth = mediansOfFive(level)
  const sorted = smooth.slice().sort()
  const high = quantileSorted(sorted, 0.97)!
  const low = quantileSorted(sorted, 0.03)!
  const range = high - low
  if (!(range > 0)) return null
  let first = 0
  for (let i = 0; i < n; i++) if (smooth[i]! > high - 0.15 * range) first = i
  let last = n - 1
  for (let i = n - 1; i >= 0; i--) if (smooth[i]! < low + 0.15 * range) last = i
  if (last <= first) last = Math.min(n - 1, first + 1)
  const fall = Math.max(t[last]! - t[first]!, 1e-3)
  const starts = Math.max(t[0]!, t[first]! - fall * 0.2)
  const ends = Math.min(t[n - 1]!, t[last]! + fall * 0.2)
  return Float64Array.of(high, range, 0, starts, Math.max(ends - starts, 1e-3))
}

/** First sample, and the one after the last, of the part that is fitted. */
function aboutTheFall(t: Float64Array, p: Float64Array): [number, number] {
  const margin = Math.max(1, p[4]!)
  let from = 0
  while (t[from]! < p[3]! - margin) from++
  let to = t.length
  while (t[to - 1]! > p[3]! + p[4]! + margin) to--
  return [from, to]
}

function mediansOfFive(x: Float64Array): Float64Array {
  const n = x.length
  const out = new Float64Array(n)
  const five = new Float64Array(5)
  for (let i = 0; i < n; i++) {
    const from = Math.max(0, Math.min(n - 5, i - 2))
    for (let k = 0; k < 5; k++) {
      let j = k
      const value = x[from + k]!
      while (j > 0 && five[j - 1]! > value) {
        five[j] = five[j - 1]!
        j--
      }
      five[j] = value
    }
    out[i] = five[2]!
  }
  return out
}

function residualsOf(t: Float64Array, level: Float64Array, p: Float64Array, out: Float64Array): Float64Array {
  const [before, volume, curve, starts, length] = p as unknown as [number, number, number, number, number]
  for (let i = 0; i < t.length; i++) {
    const s = Math.min(1, Math.max(0, (t[i]! - starts) / length))
    out[i] = level[i]! - (before - volume * s - curve * (s - s * s))
  }
  return out
}

const huber = 2

function weightedCost(residual: Float64Array, scale: number): number {
  let cost = 0
  const bound = huber * scale
  for (let i = 0; i < residual.length; i++) {
    const r = Math.abs(residual[i]!)
    cost += r <= bound ? r * r : bound * (2 * r - bound)
  }
  return cost
}

/**
 * Normal equations of the weighted fit at p, into the work space. The derivatives are 1, -s, -(s - s²), and inside the fall the slope
 * and s times the slope; each sum stands in a variable of its own, since this is where the time goes.
 */
function accumulate(
  t: Float64Array,
  level: Float64Array,
  p: Float64Array,
  scale: number,
  isBent: boolean,
): void {
  const [before, volume, curve, starts, length] = p as unknown as [number, number, number, number, number]
  const bound = huber * scale
  const bend = isBent ? 1 : 0
  let w0 = 0
  let ws = 0
  let wss = 0
  let r0 = 0
  let rs = 0
  let wq = 0
  let wsq = 0
  let wqq = 0
  let rq = 0
  let wm = 0
  let wsm = 0
  let wqm = 0
  let wmm = 0
  let rm = 0
  let wn = 0
  let wsn = 0
  let wqn = 0
  let wmn = 0
  let wnn = 0
  let rn = 0
  for (let i = 0; i < t.length; i++) {
    const u = (t[i]! - starts) / length
    if (u <= 0) {
      const r = level[i]! - before
      const w = r <= bound && r >= -bound ? 1 : bound / Math.abs(r)
      w0 += w
      r0 += w * r
      continue
    }
    const s = Math.min(u, 1)
    const q = s - s * s
    const r = level[i]! - (before - volume * s - curve * q)
    const w = r <= bound && r >= -bound ? 1 : bound / Math.abs(r)
    const a = w * s
    const e = w * r
    w0 += w
    ws += a
    wss += a * s
    r0 += e
    rs += e * s
    if (u >= 1) continue
    const m = (volume + curve * (1 - 2 * s)) / length
    const n = m * s
    const b = w * q * bend
    const c = w * m
    wq += b
    wsq += b * s
    wqq += b * q
    rq += e * q * bend
    wm += c
    wsm += c * s
    wqm += b * m
    wmm += c * m
    rm += e * m
    wn += w * n
    wsn += a * n
    wqn += b * n
    wmn += c * n
    wnn += w * n * n
    rn += e * n
  }
  jtj.set([w0, -ws, -wq, wm, wn], 0)
  jtj.set([-ws, wss, wsq, -wsm, -wsn], P)
  jtj.set([-wq, wsq, wqq, -wqm, -wqn], 2 * P)
  jtj.set([wm, -wsm, -wqm, wmm, wmn], 3 * P)
  jtj.set([wn, -wsn, -wqn, wmn, wnn], 4 * P)
  jtr.set([r0, -rs, -rq, rm, rn])
}

/** The next point, damped and kept inside the record; null when the equations cannot be solved. */
function advance(
  p: Float64Array,
  damping: number,
  step: number,
  first: number,
  span: number,
): Float64Array | null {
  const a = jtj.slice()
  const b = jtr.slice()
  for (let j = 0; j < P; j++) a[j * P + j]! += damping * Math.max(jtj[j * P + j]!, 1e-9)
  if (!solveInPlace(a, b, P)) return null
  const next = p.map((value, j) => value + b[j]!)
  const mostMoved = Math.max(2 * step, p[4]! / 3)
  next[3] = Math.min(p[3]! + mostMoved, Math.max(p[3]! - mostMoved, next[3]!))
  next[3] = Math.min(first + span, Math.max(first - step, next[3]!))
  next[4] = Math.min(p[4]! + mostMoved, Math.max(p[4]! - mostMoved, next[4]!))
  next[4] = Math.min(first + span + step - next[3]!, Math.max(step / 2, next[4]!))
  next[2] = Math.min(next[1]!, Math.max(-next[1]!, next[2]!))
  return next
}

function standardErrors(
  t: Float64Array,
  level: Float64Array,
  p: Float64Array,
  scale: number,
  isBent: boolean,
): { volume: number; curve: number; length: number } {
  accumulate(t, level, p, scale, isBent)
  const errorOf = (index: number): number => {
    const a = jtj.slice()
    for (let j = 0; j < P; j++) a[j * P + j]! += 1e-9
    const unit = new Float64Array(P)
    unit[index] = 1
    return solveInPlace(a, unit, P) ? Math.sqrt(Math.max(0, unit[index]!)) * scale : Number.NaN
  }
  return { volume: errorOf(1), curve: isBent ? errorOf(2) : Number.NaN, length: errorOf(4) }
}
