import type { Base, Fire, Tank } from './registry.ts'
import { bases, fires, mountings, tanks } from './world.ts'

const rad = Math.PI / 180
export function nauticalMiles(
  a: { latitude: number; longitude: number },
  b: { latitude: number; longitude: number },
): number {
  const h =
    Math.sin(((b.latitude - a.latitude) * rad) / 2) ** 2 +
    Math.cos(a.latitude * rad) *
      Math.cos(b.latitude * rad) *
      Math.sin(((b.longitude - a.longitude) * rad) / 2) ** 2
  return 2 * 3440.065 * Math.asin(Math.sqrt(h))
}
export const tankOn = (aircraft: string, at: number): Tank | undefined => {
  const m = mountings.find(
    (x) => x.aircraft === aircraft && x.on_at <= at && (x.off_at === null || at < x.off_at),
  )
  return m && tanks.find((t) => t.serial === m.tank)
}
export const activeFires = (at: number): Fire[] => fires.filter((f) => f.started_at <= at && at <= f.ended_at)
/** Seconds that local time is behind UTC in a zone at a moment. */
export function zoneOffset(zone: string, at: number): number {
  const parts = new Intl.DateTimeFormat('en-US', {
    timeZone: zone,
    hourCycle: 'h23',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
  }).formatToParts(new Date(at * 1000))
  const n = (type: string): number => Number(parts.find((p) => p.type === type)?.value)
  return Date.UTC(n('year'), n('month') - 1, n('day'), n('hour'), n('minute'), n('second')) / 1000 - at
}
export const baseOf = (code: string): Base => bases.find((b) => b.code === code) as Base
export const round1 = (x: number): number => Math.round(x * 10) / 10
export const round5 = (x: number): number => Math.round(x * 1e5) / 1e5
