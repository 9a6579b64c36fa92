import type { Chance } from './chance.ts'
import type { Drop, Load, Season } from './events.ts'
import { activeFires, nauticalMiles, round1, round5 } from './places.ts'
import type { Aircraft, Fire, Tank } from './registry.ts'

/** What the one at the controls decides. */
export interface Release {
  at: number
  plane: Aircraft
  tank: Tank
  load: Load | null
  flight: string | null
  fire: Fire | null
  gal: number
  commanded: number | null
  coverage: number | null
  fraction: string
  purpose: string
  doors: number[] | null
  day: string
  where: { latitude: number; longitude: number }
  openings: number
  stated: boolean
  fluid: string
  base: string
}

/** Adds a drop to the season, with the fire that it should be counted for, and at times an observer's view of it. */
export function release(s: Season, chance: Chance, d: Release): void {
  const latitude = round5(d.where.latitude)
  const longitude = round5(d.where.longitude)
  let basis: Drop['basis'] = 'unattributed'
  let fireNumber: string | null = null
  if (d.fire && d.stated) [basis, fireNumber] = ['stated', d.fire.number]
  else if (d.purpose === 'fire') {
    const inside = activeFires(d.at)
      .map((f) => ({ f, share: nauticalMiles({ latitude, longitude }, f) / (f.radius_nm ?? 5) }))
      .filter((x) => x.share <= 1)
      .sort((a, b) => a.share - b.share)[0]
    if (inside) [basis, fireNumber] = ['nearest', inside.f.number]
  }
  const id = `D${s.drops.length}`
  s.drops.push({
    id,
    at: d.at,
    aircraft: d.plane.registration,
    tank: d.tank.serial,
    base: d.base,
    fire: fireNumber,
    stated: basis === 'stated',
    basis,
    flight: d.flight,
    load: d.load?.id ?? null,
    gal: d.gal,
    commanded: d.commanded,
    coverage: d.coverage,
    fraction: d.fraction,
    fluid: d.fluid,
    purpose: d.purpose,
    doors: d.doors,
    openings: d.openings,
    latitude,
    longitude,
    height: chance.int(150, 260),
    speed: chance.int(110, 145),
    duration: round1(chance.between(1, 6)),
    day: d.day,
  })
  if (d.purpose === 'fire' && chance.is(0.4)) {
    const met = chance.pick(['yes', 'yes', 'yes', 'no', 'unknown'])
    s.assessments.push({
      at: d.at + chance.int(60, 150),
      aircraft: d.plane.registration,
      drop: id,
      objective: chance.pick(['delay', 'point protection', 'reduce intensity']),
      fuel: chance.pick(['grass', 'timber', 'brush']),
      met,
      effective:
        met === 'yes'
          ? chance.pick(['yes', 'yes', 'no', 'unknown'])
          : met === 'no'
            ? chance.pick(['no', 'unknown'])
            : 'unknown',
      line: chance.is(0.5) ? chance.int(200, 2500) : null,
    })
  }
}
