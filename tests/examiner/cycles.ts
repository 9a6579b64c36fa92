import type { Row } from './canonical.ts'
import { iso } from './canonical.ts'
import type { Drop, Flight, Season } from './events.ts'
import { baselines, components, fittings } from './parts.ts'
import { fleet, mountings, tanks } from './world.ts'

const hours = (f: Flight): number => (f.on - f.off) / 3600

/** Counters to the end of a day, in parts, for every tank and every part that was ever fitted. */
export function cycles(s: Season, until = '9999-12-31'): Map<string, Row> {
  const out: Map<string, Row> = new Map()
  const drops = s.drops.filter((d) => d.day <= until)
  const loads = s.loads.filter((l) => l.day <= until)
  const flights = s.flights.filter((f) => f.day <= until)
  const items = [
    ...tanks.map((t) => ({ item: t.serial, spans: [{ tank: t.serial, door: 0, on: 0, off: Infinity }] })),
    ...components.map((c) => ({
      item: c.serial,
      spans: fittings
        .filter((f) => f.component === c.serial)
        .map((f) => ({
          tank: f.tank,
          door: f.position.startsWith('door-') ? Number(f.position.slice(5)) : 0,
          on: f.on_at,
          off: f.off_at ?? Infinity,
        })),
    })),
  ]
  for (const { item, spans } of items) {
    const isTank = tanks.some((t) => t.serial === item)
    const hasDoor = spans.some((s) => s.door > 0)
    for (const counter of [
      'openings',
      'retardant-openings',
      'emergency-releases',
      'fills',
      'mounted-hours',
      'mountings',
      ...(hasDoor ? ['door-cycles'] : []),
    ]) {
      const base = baselines.find((b) => b.item === item && b.counter === counter)
      const since = base?.counted_at ?? Number.NEGATIVE_INFINITY
      const here = (tank: string, at: number): boolean =>
        at > since && spans.some((s) => s.tank === tank && s.on <= at && at < s.off)
      const doorHere = (d: Drop): boolean =>
        d.at > since &&
        spans.some(
          (s) =>
            s.tank === d.tank &&
            s.on <= d.at &&
            d.at < s.off &&
            (d.doors === null || d.doors.includes(s.door)),
        )
      const controlled = (aircraft: string): boolean =>
        fleet.find((a) => a.registration === aircraft)?.hasController ?? false
      let counted = 0
      let recorded = 0
      const add = (aircraft: string, n: number): void => {
        counted += n
        if (controlled(aircraft)) recorded += n
      }
      if (counter === 'openings')
        for (const d of drops) {
          if (here(d.tank, d.at)) add(d.aircraft, d.openings)
        }
      if (counter === 'door-cycles')
        for (const d of drops) {
          if (doorHere(d)) add(d.aircraft, d.openings)
        }
      if (counter === 'retardant-openings')
        for (const d of drops) {
          if (here(d.tank, d.at) && d.gal > 0 && d.fluid === 'retardant') add(d.aircraft, d.openings)
        }
      if (counter === 'emergency-releases')
        for (const d of drops) {
          if (here(d.tank, d.at) && d.purpose === 'emergency') add(d.aircraft, 1)
        }
      if (counter === 'fills')
        for (const l of loads) {
          if (here(l.tank, l.at)) add(l.aircraft, 1)
        }
      if (counter === 'mounted-hours')
        for (const f of flights) {
          if (f.tank && here(f.tank, f.off)) {
            counted += hours(f)
            recorded += hours(f)
          }
        }
      if (counter === 'mountings') {
        for (const m of mountings)
          if (
            iso(m.on_at).slice(0, 10) <= until &&
            m.on_at > since &&
            (isTank
              ? m.tank === item
              : spans.some((s) => s.tank === m.tank && s.on <= m.on_at && m.on_at < s.off))
          )
            counted++
      }
      out.set(`${item} ${counter}`, {
        item,
        counter,
        baseline: base?.value ?? 0,
        recorded,
        counted,
        inferred: 0,
        total: (base?.value ?? 0) + counted,
      })
    }
  }
  return out
}
