import type { Row } from './canonical.ts'
import type { Drop, Flight, Load, Season } from './events.ts'

export interface Which {
  from?: string
  to?: string
  aircraft?: string
  tank?: string
  base?: string
  fire?: string
  fluid?: string
}
export type Group = Map<string, Row>
export const shares: Record<string, number> = { full: 1, '1/2': 0.5, '1/3': 1 / 3, '1/4': 0.25 }
export const sum = (list: number[]): number => list.reduce((a, b) => a + b, 0)
export const median = (list: number[]): number | null => quantile(list, 0.5)
/** Type 7 of Hyndman and Fan (1996). */
export function quantile(list: number[], p: number): number | null {
  if (list.length === 0) return null
  const sorted = [...list].sort((a, b) => a - b)
  const h = (sorted.length - 1) * p
  const low = Math.floor(h)
  return (
    (sorted[low] as number) +
    (h - low) * ((sorted[Math.min(low + 1, sorted.length - 1)] as number) - (sorted[low] as number))
  )
}
export const hours = (f: Flight): number => (f.on - f.off) / 3600
const inside = (day: string, w: Which): boolean => (!w.from || day >= w.from) && (!w.to || day <= w.to)
export const ratio = (a: number, b: number): number | null => (b > 0 ? a / b : null)

/** The season as a person who saw everything would count it. */
export class Seen {
  readonly share = new Map<string, number>()
  readonly s: Season
  constructor(s: Season) {
    this.s = s
    for (const flight of s.flights) {
      const on = s.drops.filter((d) => d.flight === flight.id && d.purpose === 'fire')
      const total = sum(on.map((d) => d.gal))
      for (const d of on) this.share.set(d.id, hours(flight) * (total > 0 ? d.gal / total : 1 / on.length))
    }
  }
  drops(w: Which): Drop[] {
    return this.s.drops.filter(
      (d) =>
        inside(d.day, w) &&
        (!w.aircraft || d.aircraft === w.aircraft) &&
        (!w.tank || d.tank === w.tank) &&
        (!w.base || d.base === w.base) &&
        (!w.fire || d.fire === w.fire) &&
        (!w.fluid || d.fluid === w.fluid),
    )
  }
  fireDrops(w: Which): Drop[] {
    return this.drops(w).filter((d) => d.purpose === 'fire')
  }
  flights(w: Which): Flight[] {
    return this.s.flights.filter(
      (f) => inside(f.day, w) && (!w.aircraft || f.aircraft === w.aircraft) && (!w.tank || f.tank === w.tank),
    )
  }
  loads(w: Which): Load[] {
    return this.s.loads.filter(
      (l) =>
        inside(l.day, w) &&
        (!w.aircraft || l.aircraft === w.aircraft) &&
        (!w.tank || l.tank === w.tank) &&
        (!w.base || l.base === w.base) &&
        (!w.fluid || l.fluid === w.fluid),
    )
  }
  isMission(f: Flight): boolean {
    return this.s.drops.some((d) => d.flight === f.id && d.purpose === 'fire')
  }
  noDropHours(w: Which): number {
    return sum(
      this.flights(w)
        .filter((f) => !this.isMission(f))
        .map(hours),
    )
  }
  turnarounds(w: Which): { load: Load; next: Load; minutes: number }[] {
    const out: { load: Load; next: Load; minutes: number }[] = []
    for (const load of this.loads(w)) {
      const next = this.s.loads
        .filter((l) => l.aircraft === load.aircraft && l.at > load.at)
        .sort((a, b) => a.at - b.at)[0]
      if (next && next.day === load.day) out.push({ load, next, minutes: (next.at - load.at) / 60 })
    }
    return out
  }
}
