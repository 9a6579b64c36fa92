import type { Chance } from './chance.ts'
import { utc } from './registry.ts'

/** Days of operation: dense and idle spells, and a week of the year before. */
export function days(chance: Chance, share: number): string[] {
  const out: string[] = []
  for (let t = utc('2024-10-05T00:00Z'); t < utc('2024-10-10T00:00Z'); t += 86400)
    out.push(new Date(t * 1000).toISOString().slice(0, 10))
  let busy = true
  for (let t = utc('2025-06-08T00:00Z'); t < utc('2025-09-27T00:00Z'); t += 86400) {
    if (chance.is(0.25)) busy = !busy
    if (busy && chance.is(share)) out.push(new Date(t * 1000).toISOString().slice(0, 10))
  }
  return out
}
