import { iso } from './canonical.ts'
import { type Group, hours, median, ratio, Seen, sum, type Which } from './seen.ts'
import { bases, fires, fleet } from './world.ts'

/** Gallons and hours of a season, counted anew from its events. */
export class Volumes extends Seen {
  gallonsByFire(w: Which): Group {
    const out: Group = new Map()
    const all = this.fireDrops(w)
    for (const fire of [...new Set(all.map((d) => d.fire ?? 'unattributed')), 'unattributed']) {
      const on = all.filter((d) => (d.fire ?? 'unattributed') === fire)
      const gal = sum(on.map((d) => d.gal))
      const of = (fluid: string): number => sum(on.filter((d) => d.fluid === fluid).map((d) => d.gal))
      const h = sum(on.map((d) => this.share.get(d.id) ?? 0))
      const at = on.map((d) => d.at)
      out.set(fire, {
        fire,
        drops: on.length,
        gallons: gal,
        water_gal: of('water'),
        retardant_gal: of('retardant'),
        gel_gal: of('gel'),
        foam_gal: of('foam'),
        flight_hours: h,
        gallons_per_flight_hour: ratio(gal, h),
        first_at: at.length ? iso(Math.min(...at)) : null,
        last_at: at.length ? iso(Math.max(...at)) : null,
        ...(fire === 'unattributed' ? {} : { name: fires.find((f) => f.number === fire)?.name }),
      })
    }
    return out
  }
  hoursByFire(w: Which): Group {
    const out: Group = new Map(
      [...this.gallonsByFire(w)].map(([k, v]) => [k, { fire: k, flight_hours: v.flight_hours }]),
    )
    out.set('no drop', { fire: 'no drop', flight_hours: this.noDropHours(w) })
    return out
  }
  gallonsByBase(w: Which): Group {
    const out: Group = new Map()
    const all = this.fireDrops(w)
    const loads = this.loads(w)
    for (const base of new Set([...all.map((d) => d.base), ...loads.map((l) => l.base)])) {
      const on = all.filter((d) => d.base === base)
      const gal = sum(on.map((d) => d.gal))
      const h = sum(on.map((d) => this.share.get(d.id) ?? 0))
      const filled = loads.filter((l) => l.base === base)
      out.set(base, {
        base,
        name: bases.find((b) => b.code === base)?.name,
        loads: filled.length,
        loaded_gal: sum(filled.map((l) => l.gal)),
        drops: on.length,
        gallons: gal,
        flight_hours: h,
        gallons_per_flight_hour: ratio(gal, h),
        median_turnaround_min: w.fluid
          ? undefined
          : median(
              this.turnarounds(w)
                .filter((t) => t.load.base === base)
                .map((t) => t.minutes),
            ),
      })
    }
    out.set('unknown', { base: 'unknown', loads: 0, drops: 0, gallons: 0 })
    out.set('no drop', { base: 'no drop', flight_hours: this.noDropHours(w) })
    return out
  }
  gallonsByAircraft(w: Which): Group {
    const out: Group = new Map()
    for (const plane of fleet) {
      const on = this.fireDrops(w).filter((d) => d.aircraft === plane.registration)
      const flown = this.flights(w).filter((f) => f.aircraft === plane.registration)
      if (on.length === 0 && flown.length === 0) continue
      const gal = sum(on.map((d) => d.gal))
      const air = sum(flown.map(hours))
      const mission = sum(flown.filter((f) => this.isMission(f)).map(hours))
      out.set(plane.registration, {
        aircraft: plane.registration,
        call_number: plane.call_number,
        drops: on.length,
        gallons: gal,
        airborne_hours: air,
        mission_hours: mission,
        gallons_per_airborne_hour: ratio(gal, air),
        gallons_per_mission_hour: ratio(gal, mission),
      })
    }
    return out
  }
  gallonsByDay(w: Which): Group {
    const out: Group = new Map()
    for (const day of new Set([
      ...this.fireDrops(w).map((d) => d.day),
      ...this.flights(w).map((f) => f.day),
    ])) {
      const on = this.fireDrops(w).filter((d) => d.day === day)
      out.set(day, {
        day,
        drops: on.length,
        gallons: sum(on.map((d) => d.gal)),
        airborne_hours: sum(
          this.flights(w)
            .filter((f) => f.day === day)
            .map(hours),
        ),
      })
    }
    return out
  }
  volumeByPurpose(w: Which): Group {
    const out: Group = new Map()
    for (const purpose of new Set(this.drops(w).map((d) => d.purpose))) {
      const on = this.drops(w).filter((d) => d.purpose === purpose)
      out.set(purpose, { purpose, drops: on.length, gallons: sum(on.map((d) => d.gal)) })
    }
    return out
  }
}
