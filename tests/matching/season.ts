import { purposes, rowsOfFile } from '../../src/kinds/index.ts'
import type { Observations, Source } from '../../src/matching/observations.ts'

/** A small generator of seasons for the tests of this room: who wrote what, and which lines tell of one event. */
export interface Told {
  obsNo: number
  aircraft: string
  kind: 'drop' | 'load' | 'flight' | 'offload'
  source: string
  witness: string
  /** Seconds since 1970 by the witness's clock. */
  start: number
  end: number
  volume: number | null
  fraction: number | null
  latitude: number | null
  longitude: number | null
  fire: string | null
  purpose: string | null
  /** Of loads: where, and what the gauge showed before and after. */
  base?: string
  before?: number
  after?: number
  /** Numbers of the events that the line tells of: more than one for a line that sums them. */
  truth: number[]
}

export interface Hand {
  source: string
  witness: string
  kinds: readonly Told['kind'][]
  /** The file that it writes into: two hands of one source write into two. */
  file?: number
  missing?: number
  /** Minutes late, by aircraft and day. */
  offset?: (aircraft: number, day: number) => number
  /** More minutes late at this base. */
  lateAt?: Readonly<Record<string, number>>
  /** Minutes gained over each day. */
  drift?: number
  roundMin?: number
  floor?: boolean
  roundGal?: number
  volumeNoise?: number
  saysVolume?: boolean
  saysFraction?: boolean
  saysFire?: boolean
  saysPlace?: boolean
  sloppy?: number
  sums?: number
  isAbsent?: (aircraft: number, day: number, hour: number) => boolean
}

export interface Plan {
  seed: number
  aircraft: number
  days: number
  hands: readonly Hand[]
  loadsPerDay?: readonly [number, number]
  splits?: readonly number[]
  splitGap?: readonly [number, number]
  cycleMin?: readonly [number, number]
  capacity?: number
  equalVolumes?: boolean
  /** So many bases fill the aircraft in turn: `BASE0` and so on. None: loads name no base. */
  bases?: number
}

/** Uniform numbers in [0, 1) from a seed (mulberry32). */
export function randomOf(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

const firstDay = Date.UTC(2026, 5, 1) / 1000

export function season(plan: Plan): Told[] {
  const random = randomOf(plan.seed)
  const between = (low: number, high: number): number => low + (high - low) * random()
  const whole = (low: number, high: number): number => Math.floor(between(low, high + 1))
  const normal = (): number => {
    let sum = 0
    for (let i = 0; i < 12; i++) sum += random()
    return sum - 6
  }
  const told: Told[] = []
  let event = 0
  let obsNo = 0
  const [fewest, most] = plan.loadsPerDay ?? [2, 8]
  for (let a = 0; a < plan.aircraft; a++) {
    const capacity = plan.capacity ?? 800 + 400 * whole(0, 5)
    for (let day = 0; day < plan.days; day++) {
      const truth: (Omit<Told, 'obsNo' | 'source' | 'witness' | 'truth' | 'aircraft'> & {
        event: number
        run: number
      })[] = []
      let at = firstDay + day * 86_400 + Math.round(between(14, 17) * 3600)
      const loads = whole(fewest, most)
      for (let run = 0; run < loads; run++) {
        const none = { latitude: null, longitude: null, fire: null, purpose: null, fraction: null }
        const filled = capacity * (1 - 0.05 * random())
        truth.push({
          ...none,
          kind: 'load',
          start: at,
          end: at,
          volume: filled,
          event: event++,
          run,
          ...(plan.bases && { base: `BASE${(a + day + run) % plan.bases}` }),
        })
        const off = at + Math.round(between(4, 12) * 60)
        const parts = (plan.splits ?? [1, 1, 2, 2, 3, 4])[
          whole(0, (plan.splits ?? [1, 1, 2, 2, 3, 4]).length - 1)
        ]!
        const fire = `NF-${100 + whole(0, 4)}`
        let drop = off + Math.round(between(10, 30) * 60)
        let left = filled
        for (let part = 0; part < parts; part++) {
          const volume =
            part === parts - 1 ? left * (1 - 0.02 * random()) : (filled / parts) * (1 + 0.03 * normal())
          left -= volume
          const otherFire = random() < 0.15 ? `NF-${100 + whole(0, 4)}` : fire
          truth.push({
            kind: 'drop',
            start: drop,
            end: drop,
            volume,
            fraction: 1 / parts,
            latitude: 43 + 0.1 * random(),
            longitude: -115 + 0.1 * random(),
            fire: otherFire,
            purpose: random() < 0.04 ? 'jettison' : 'fire',
            event: event++,
            run,
          })
          drop += Math.round(between(...(plan.splitGap ?? [20, 180])))
        }
        const on = drop + Math.round(between(8, 30) * 60)
        truth.push({ ...none, kind: 'flight', start: off, end: on, volume: null, event: event++, run })
        at = on + Math.round(between(...(plan.cycleMin ?? [10, 40])) * 60)
      }
      for (const hand of plan.hands) {
        const late = (hand.offset?.(a, day) ?? 0) * 60
        const clock = (seconds: number, base = ''): number => {
          const gained = ((hand.drift ?? 0) * 60 * (seconds - firstDay - day * 86_400 - 15 * 3600)) / 36_000
          const step = (hand.roundMin ?? 0) * 60
          const read = seconds + late + gained + 60 * (hand.lateAt?.[base] ?? 0)
          return step === 0
            ? Math.round(read)
            : step * (hand.floor ? Math.floor(read / step) : Math.round(read / step))
        }
        let summed = -1
        for (const item of truth) {
          if (!hand.kinds.includes(item.kind)) continue
          const hour = (item.start - firstDay - day * 86_400) / 3600
          if (hand.isAbsent?.(a, day, hour)) continue
          if (item.kind === 'drop' && item.run === summed) continue
          if (random() < (hand.missing ?? 0.04)) continue
          const says = {
            volume: hand.saysVolume ?? true,
            fire: hand.saysFire ?? false,
            place: hand.saysPlace ?? false,
          }
          const siblings = truth.filter((other) => other.kind === 'drop' && other.run === item.run)
          const isSum =
            item.kind === 'drop' &&
            siblings[0] === item &&
            siblings.length > 1 &&
            random() < (hand.sums ?? 0) &&
            siblings.every((other) => other.purpose === item.purpose)
          if (isSum) summed = item.run
          const real = isSum ? siblings.reduce((sum, other) => sum + other.volume!, 0) : item.volume
          const noisy = real === null ? null : real * (1 + (hand.volumeNoise ?? 0) * normal())
          const gal = hand.roundGal ?? 1
          told.push({
            obsNo: (hand.file ?? 0) * rowsOfFile + ++obsNo,
            aircraft: `N${801 + a}ZY`,
            kind: item.kind,
            source: hand.source,
            witness: hand.witness,
            start: clock(item.start, item.base),
            end: clock(item.end, item.base),
            ...(item.base && { base: item.base }),
            volume: noisy === null || !says.volume ? null : gal * Math.round(noisy / gal),
            fraction: hand.saysFraction ? (isSum ? 1 : item.fraction) : null,
            latitude: says.place ? item.latitude : null,
            longitude: says.place ? item.longitude : null,
            fire:
              says.fire && item.fire
                ? random() < (hand.sloppy ?? 0)
                  ? `${item.fire.toLowerCase()} fire`
                  : item.fire
                : null,
            purpose: hand.witness === 'tracker' ? null : item.purpose,
            truth: isSum ? siblings.map((other) => other.event) : [item.event],
          })
        }
      }
    }
  }
  return told
}

/** The lines as matching reads them, in its promised order. */
export function observationsOf(told: readonly Told[]): { o: Observations; sources: Source[]; order: Told[] } {
  const rank = (values: (string | null)[]): Map<string, number> =>
    new Map([...new Set(values.filter((v) => v !== null))].sort().map((value, index) => [value, index]))
  const aircraft = rank(told.map((line) => line.aircraft))
  const sourceNumber = rank(told.map((line) => line.source))
  const fires = rank(told.map((line) => tidy(line.fire)))
  const kinds = ['drop', 'load', 'flight', 'offload']
  const order = [...told].sort(
    (a, b) =>
      aircraft.get(a.aircraft)! - aircraft.get(b.aircraft)! ||
      sourceNumber.get(a.source)! - sourceNumber.get(b.source)! ||
      a.start - b.start ||
      kinds.indexOf(a.kind) - kinds.indexOf(b.kind) ||
      a.obsNo - b.obsNo ||
      a.end - b.end ||
      (a.volume ?? 1e9) - (b.volume ?? 1e9) ||
      (a.fraction ?? 9) - (b.fraction ?? 9) ||
      (fires.get(tidy(a.fire) ?? '') ?? -1) - (fires.get(tidy(b.fire) ?? '') ?? -1) ||
      a.obsNo - b.obsNo,
  )
  const numbers = (pick: (line: Told) => number | null): Float64Array =>
    Float64Array.from(order, (line) => pick(line) ?? Number.NaN)
  const sources = [...sourceNumber.keys()].map((name, number) => ({
    name,
    base: '',
    family: number,
    witness: told.find((line) => line.source === name)!.witness,
  }))
  const o: Observations = {
    count: order.length,
    aircraft: numbers((line) => aircraft.get(line.aircraft)!),
    source: numbers((line) => sourceNumber.get(line.source)!),
    kind: numbers((line) => kinds.indexOf(line.kind)),
    start: numbers((line) => line.start),
    end: numbers((line) => line.end),
    volume: numbers((line) => line.volume),
    fraction: numbers((line) => line.fraction),
    latitude: numbers((line) => line.latitude),
    longitude: numbers((line) => line.longitude),
    fire: numbers((line) => (line.fire === null ? null : fires.get(tidy(line.fire)!)!)),
    purpose: numbers((line) =>
      line.purpose === null ? null : purposes.indexOf(line.purpose as (typeof purposes)[number]),
    ),
    isTimeSet: new Float64Array(order.length),
    obsNo: numbers((line) => line.obsNo),
    says: new Int32Array(order.length),
    set: new Int32Array(order.length),
  }
  return { o, sources, order }
}

function tidy(fire: string | null): string | null {
  return fire === null ? null : fire.toLowerCase().replace(/[^0-9a-z]/g, '')
}

export interface Score {
  truePairs: number
  foundPairs: number
  rightPairs: number
  precision: number
  recall: number
  f1: number
}

/** Precision and recall over pairs of lines that tell of one event, of one kind. */
export function scoreOf(
  told: readonly Told[],
  events: ReadonlyMap<unknown, readonly number[]>,
  kind: Told['kind'],
): Score {
  const pairsOf = (groups: Iterable<readonly number[]>): Set<string> => {
    const pairs = new Set<string>()
    for (const group of groups) {
      const sorted = [...group].sort((a, b) => a - b)
      for (let i = 0; i < sorted.length; i++)
        for (let j = i + 1; j < sorted.length; j++) pairs.add(`${sorted[i]}-${sorted[j]}`)
    }
    return pairs
  }
  const truth = new Map<number, number[]>()
  for (const line of told) {
    if (line.kind !== kind) continue
    for (const event of line.truth) truth.set(event, [...(truth.get(event) ?? []), line.obsNo])
  }
  const wanted = pairsOf(truth.values())
  const found = pairsOf(events.values())
  let right = 0
  for (const pair of found) if (wanted.has(pair)) right++
  const precision = found.size === 0 ? 1 : right / found.size
  const recall = wanted.size === 0 ? 1 : right / wanted.size
  return {
    truePairs: wanted.size,
    foundPairs: found.size,
    rightPairs: right,
    precision,
    recall,
    f1: (2 * right) / Math.max(1, found.size + wanted.size),
  }
}
