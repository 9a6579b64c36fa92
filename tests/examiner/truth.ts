import { iso } from './canonical.ts'
import type { Drop, Season } from './events.ts'
import { type Group, hours, median, quantile, ratio, shares, sum, type Which } from './seen.ts'
import { Volumes } from './volumes.ts'
import { wilson } from './wilson.ts'
import { fleet } from './world.ts'

/** Records, turnarounds and rates as a person who saw everything would write them. */
export class Truth extends Volumes {
  dropRows(w: Which): Group {
    return new Map(
      this.drops(w).map((d) => {
        const controlled = fleet.find((a) => a.registration === d.aircraft)?.hasController
        const witnesses = [
          ...(controlled ? ['controller'] : []),
          ...(d.purpose === 'ground-test' ? [] : ['crew']),
        ]
        return [
          `${d.aircraft} ${iso(d.at)}`,
          {
            dropped_at: iso(d.at),
            aircraft: d.aircraft,
            tank: d.tank,
            base: d.purpose === 'ground-test' ? undefined : d.base,
            fire: d.purpose === 'fire' ? d.fire : undefined,
            fire_basis: d.purpose === 'fire' ? d.basis : undefined,
            volume_gal: d.gal,
            commanded_gal: d.commanded,
            coverage_level: d.coverage,
            fluid: d.purpose === 'ground-test' ? undefined : d.fluid,
            purpose: d.purpose,
            openings: d.openings,
            latitude: d.latitude,
            longitude: d.longitude,
            witnesses: JSON.stringify(witnesses),
            status: witnesses.length > 1 ? 'corroborated' : 'single',
            flight: d.flight ? 'some' : null,
          },
        ]
      }),
    )
  }
  loadRows(w: Which): Group {
    return new Map(
      this.loads(w).map((l) => {
        const controlled = fleet.find((a) => a.registration === l.aircraft)?.hasController
        const witnesses = [
          ...(controlled ? ['controller'] : []),
          ...(l.ticket === '' ? ['crew'] : ['ticket']),
        ]
        return [
          `${l.aircraft} ${iso(l.at)}`,
          {
            loaded_at: iso(l.at),
            aircraft: l.aircraft,
            tank: l.tank,
            base: l.base,
            ticket: l.ticket || null,
            volume_gal: l.gal,
            fluid: l.fluid,
            status: witnesses.length > 1 ? 'corroborated' : 'single',
          },
        ]
      }),
    )
  }
  flightRows(w: Which): Group {
    return new Map(
      this.flights(w).map((f) => [
        `${f.aircraft} ${iso(f.off)}`,
        {
          off_at: iso(f.off),
          on_at: iso(f.on),
          aircraft: f.aircraft,
          airborne_hours: hours(f),
          mission: this.isMission(f),
          status: 'corroborated',
        },
      ]),
    )
  }
  turnaroundRows(w: Which): Group {
    const out: Group = new Map()
    for (const base of new Set(this.turnarounds(w).map((t) => t.load.base))) {
      const minutes = this.turnarounds(w)
        .filter((t) => t.load.base === base)
        .map((t) => t.minutes)
      out.set(base, {
        base,
        turnarounds: minutes.length,
        median_min: median(minutes),
        p90_min: quantile(minutes, 0.9),
      })
    }
    return out
  }
  outcomes(w: Which, by: 'objective' | 'fuel' | 'class' | 'coverage'): Group {
    const out: Group = new Map()
    const kept = this.fireDrops(w)
    const groupOf = (a: Season['assessments'][number]): string => {
      const d = this.s.drops.find((x) => x.id === a.drop) as Drop
      return by === 'objective'
        ? a.objective
        : by === 'fuel'
          ? a.fuel
          : by === 'class'
            ? (fleet.find((p) => p.registration === a.aircraft)?.class as string)
            : String(d.coverage)
    }
    const list = this.s.assessments.filter((a) => kept.some((d) => d.id === a.drop))
    for (const group of new Set(list.map(groupOf))) {
      const on = list.filter((a) => groupOf(a) === group)
      const yes = on.filter((a) => a.met === 'yes').length
      const known = on.filter((a) => a.met !== 'unknown').length
      const good = on.filter((a) => a.effective === 'yes').length
      const bad = on.filter((a) => a.effective === 'no').length
      const [il, ih] = wilson(yes, known)
      const [sl, sh] = wilson(good, good + bad)
      out.set(group, {
        group_name: group,
        assessed: on.length,
        met_fire: yes,
        interaction_rate: ratio(yes, known),
        interaction_low: il,
        interaction_high: ih,
        effective: good,
        not_effective: bad,
        success_rate: ratio(good, good + bad),
        success_low: sl,
        success_high: sh,
      })
    }
    return out
  }
  settingAccuracy(w: Which): Group {
    const out: Group = new Map()
    const list = this.drops(w).filter(
      (d) => d.commanded !== null && fleet.find((a) => a.registration === d.aircraft)?.hasController,
    )
    const key = (d: Drop): string => `${d.tank}|${d.coverage}|${shares[d.fraction]?.toFixed(4)}`
    for (const group of new Set(list.map(key))) {
      const errors = list
        .filter((d) => key(d) === group)
        .map((d) => (d.gal / (d.commanded as number) - 1) * 100)
      out.set(group, { drops: errors.length, bias_pct: sum(errors) / errors.length })
    }
    return out
  }
}
