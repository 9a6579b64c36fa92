import type { Told } from '../season.ts'
import { Chance } from './chance.ts'
import { type Fleet, firstDay, type Happening } from './operations.ts'

/** A witness and how it writes. The zero of every habit is a perfect record. */
export interface Scribe {
  readonly source: string
  readonly witness: string
  readonly kinds: readonly Happening['kind'][]
  /** Share of events that it never wrote. */
  readonly misses?: number
  /** Minutes late by aircraft (its place in the fleet) and day. */
  readonly late?: (aircraft: number, day: number) => number
  /** Minutes that its clock gains from its first hour to its tenth. */
  readonly gains?: number
  /** Scatter of each time, seconds. */
  readonly scatter?: number
  readonly stepMin?: number
  readonly cutsOff?: boolean
  readonly volume?: 'measured' | 'rounded' | 'nominal' | 'unsaid'
  readonly stepGal?: number
  readonly noise?: number
  readonly saysFraction?: boolean
  readonly saysFire?: boolean
  readonly saysPlace?: boolean
  readonly saysPurpose?: boolean
  readonly sloppy?: number
  /** Share of loads let go in several parts that it wrote as one line. */
  readonly sums?: number
  /** Is it silent on this aircraft, day and true hour of the day? */
  readonly isSilent?: (aircraft: number, day: number, hour: number) => boolean
}

/** The lines of all scribes. Every scribe has its own chance: adding one leaves the others' lines as they were. */
export function write(fleet: Fleet, scribes: readonly Scribe[], seed: number): Told[] {
  const told: Told[] = []
  scribes.forEach((scribe, place) => {
    const chance = new Chance(seed, `hand ${scribe.source}`)
    let obsNo = (place + 1) * 10_000_000
    for (const [number, { registration, capacity }] of fleet.aircraft.entries()) {
      const own = fleet.happenings.filter(
        (item) => item.aircraft === registration && scribe.kinds.includes(item.kind),
      )
      const summed = new Set<number>()
      const pages = new Map<string, number>()
      for (const item of own) {
        const hour = (item.at - firstDay - item.day * 86_400) / 3600
        const [skips, sums] = [chance.is(scribe.misses ?? 0.04), chance.is(scribe.sums ?? 0)]
        const line = new Chance(seed, `line ${scribe.source} ${item.number}`)
        if (scribe.isSilent?.(number, item.day, hour) || summed.has(item.load)) continue
        const parts = item.kind === 'drop' && item.purpose === 'fire' ? partsOf(own, item) : [item]
        const isSum = sums && parts.length > 1 && parts[0] === item
        if (isSum) summed.add(item.load)
        else if (skips) continue
        if (item.purpose === 'ground-test' && scribe.witness !== 'controller') continue
        const clock = (at: number): number => read(scribe, at, number, item.day, line)
        // Who writes line after line does not go back in time within a day.
        const page = `${item.kind} ${item.day}`
        const start = Math.max(pages.get(page) ?? 0, clock(item.at))
        pages.set(page, start)
        told.push({
          obsNo: obsNo++,
          aircraft: registration,
          kind: item.kind,
          source: scribe.source,
          witness: scribe.witness,
          start,
          end: Math.max(start, clock(item.until)),
          volume: volumeOf(scribe, isSum ? parts : [item], capacity, line),
          fraction:
            scribe.saysFraction && item.fraction !== null
              ? sum(isSum ? parts : [item], (p) => p.fraction)
              : null,
          latitude: scribe.saysPlace && item.latitude !== null ? item.latitude + line.normal(0.003) : null,
          longitude: scribe.saysPlace && item.longitude !== null ? item.longitude + line.normal(0.004) : null,
          fire: scribe.saysFire && item.fire ? nameOf(item.fire, scribe.sloppy ?? 0, line) : null,
          purpose: scribe.saysPurpose ? item.purpose : null,
          ...placesOf(scribe, item, line),
          truth: (isSum ? parts : [item]).map((part) => part.number),
        })
      }
    }
  })
  return told
}

/** Where a load was taken, by whoever wrote it; what the gauge showed, by the controller. */
function placesOf(scribe: Scribe, item: Happening, line: Chance): Pick<Told, 'base' | 'before' | 'after'> {
  if (item.kind !== 'load') return {}
  const gauge = (gallons: number | null): number =>
    Math.max(0, Math.round((gallons ?? 0) * (1 + line.normal(0.005))))
  if (scribe.witness === 'controller') return { before: gauge(item.before), after: gauge(item.after) }
  return item.base === null ? {} : { base: item.base }
}

function partsOf(own: readonly Happening[], item: Happening): Happening[] {
  const all = own.filter((other) => other.kind === 'drop' && other.load === item.load)
  return all.every((other) => other.purpose === 'fire' && other.fire === item.fire) ? all : [item]
}

function sum(items: readonly Happening[], pick: (item: Happening) => number | null): number {
  return items.reduce((total, item) => total + (pick(item) ?? 0), 0)
}

function read(scribe: Scribe, at: number, aircraft: number, day: number, line: Chance): number {
  const gained = ((scribe.gains ?? 0) * 60 * (at - firstDay - day * 86_400 - 16 * 3600)) / (9 * 3600)
  const shown = at + 60 * (scribe.late?.(aircraft, day) ?? 0) + gained + line.normal(scribe.scatter ?? 2)
  const step = 60 * (scribe.stepMin ?? 0)
  if (step === 0) return Math.round(shown)
  return step * (scribe.cutsOff ? Math.floor(shown / step) : Math.round(shown / step))
}

function volumeOf(
  scribe: Scribe,
  parts: readonly Happening[],
  capacity: number,
  line: Chance,
): number | null {
  const step = scribe.stepGal ?? 1
  const round = (gallons: number): number => step * Math.round(gallons / step)
  const real = sum(parts, (part) => part.gallons)
  if (parts[0]!.gallons === null || scribe.volume === 'unsaid') return null
  if (scribe.volume === 'nominal' && parts[0]!.fraction !== null)
    return round(sum(parts, (p) => p.fraction) * capacity)
  return round(real * (1 + line.normal(scribe.noise ?? 0)))
}

function nameOf(fire: { name: string; number: string }, sloppy: number, line: Chance): string {
  if (!line.is(sloppy)) return line.is(0.5) ? fire.name : fire.number
  const name = fire.name
  const at = 1 + Math.floor(line.unit() * (name.length - 2))
  return line.of([
    name.toUpperCase(),
    `${name} Fire`,
    name.split(' ')[0]!.toLowerCase(),
    name.slice(0, at) + name.slice(at + 1),
    fire.number.replace(/^ZY-0*/, ''),
    name.slice(0, at) + name[at + 1]! + name[at]! + name.slice(at + 2),
  ])
}
