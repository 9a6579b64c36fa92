import type { Chance } from './chance.ts'
import type { Claim } from './claims.ts'
import { fires, fleet } from './world.ts'

/** What goes wrong with a season's records; shares are of each witness's claims. */
export interface Trouble {
  missing: number
  outageDays: number
  crewLateOn: string
  controllerDrift: number
  roundMinutes: number
  roundGallons: number
  sloppy: boolean
  gaugeNoise: number
}
export const usual: Trouble = {
  missing: 0.04,
  outageDays: 0,
  crewLateOn: 'N102QB',
  controllerDrift: 240,
  roundMinutes: 5,
  roundGallons: 50,
  sloppy: true,
  gaugeNoise: 0.005,
}

/** The claims as tired people and worn machines would write them. */
export function mess(list: Claim[], chance: Chance, trouble: Trouble): Claim[] {
  const out: Claim[] = []
  const outages = new Set<string>()
  const seen = new Set<string>()
  for (const claim of list) {
    const key = `${claim.witness} ${claim.aircraft} ${new Date(claim.at * 1000 - 6 * 3600_000).toISOString().slice(0, 10)}`
    if (!seen.has(key) && claim.kind === 'drop') {
      seen.add(key)
      if (chance.is(trouble.outageDays)) outages.add(`${key} ${chance.is(0.5) ? 'am' : 'pm'}`)
    }
  }
  const dropped = (claim: Claim): boolean => {
    const at = new Date(claim.at * 1000 - 6 * 3600_000)
    return outages.has(
      `${claim.witness} ${claim.aircraft} ${at.toISOString().slice(0, 10)} ${at.getUTCHours() < 14 ? 'am' : 'pm'}`,
    )
  }
  const drops = new Map<string, Claim>()
  for (const claim of list) if (claim.kind === 'drop') drops.set(claim.event, claim)
  const tracked: Claim[] = [...drops.values()]
    .filter((c) => c.fields.purpose !== 'ground-test')
    .map((c) => ({
      ...c,
      at: (list.find((x) => x.event === c.event && x.kind === 'drop') as Claim).at,
      witness: 'tracker',
      fields: { latitude: c.fields.latitude ?? null, longitude: c.fields.longitude ?? null },
    }))
  for (const [event, claim] of drops) {
    const t = tracked.find((x) => x.event === event)
    const ctl = list.find((x) => x.event === event && x.kind === 'drop' && x.witness === 'controller')
    if (t && ctl)
      t.fields = { latitude: ctl.fields.latitude ?? null, longitude: ctl.fields.longitude ?? null }
    void claim
  }
  for (const claim of [...list, ...tracked]) {
    if (
      (claim.kind === 'drop' || claim.kind === 'load') &&
      (chance.is(trouble.missing) || (claim.kind === 'drop' && dropped(claim)))
    )
      continue
    const c: Claim = { ...claim, fields: { ...claim.fields } }
    if (c.witness === 'crew') {
      const late = c.aircraft === trouble.crewLateOn ? 3600 : 0
      const round = (at: number): number =>
        Math.round((at + late) / (trouble.roundMinutes * 60)) * trouble.roundMinutes * 60
      c.at = round(c.at)
      if (c.until !== undefined) c.until = round(c.until)
      if (typeof c.fields.volume_gal === 'number')
        c.fields.volume_gal = Math.max(
          trouble.roundGallons,
          Math.round(c.fields.volume_gal / trouble.roundGallons) * trouble.roundGallons,
        )
      if (trouble.sloppy) {
        c.aircraft = spell(c.aircraft, chance)
        if (typeof c.fields.fire === 'string' && c.fields.fire !== '')
          c.fields.fire = spellFire(c.fields.fire, chance)
      }
    }
    if (c.witness === 'tracker' && c.kind === 'drop') c.at += Math.round(chance.normal(0, 8))
    if (c.witness === 'controller') c.at += Math.round(trouble.controllerDrift * (((c.at / 86400) % 30) / 30))
    if (c.witness === 'controller' && c.kind === 'load')
      for (const k of ['gauge_before_gal', 'gauge_after_gal', 'volume_gal'])
        if (typeof c.fields[k] === 'number')
          c.fields[k] = Math.max(
            0,
            Math.round((c.fields[k] as number) + chance.normal(0, 2500 * trouble.gaugeNoise)),
          )
    if (
      c.witness === 'controller' &&
      c.kind === 'drop' &&
      typeof c.fields.volume_gal === 'number' &&
      c.fields.volume_gal > 0
    )
      c.fields.volume_gal = Math.max(1, Math.round(c.fields.volume_gal * (1 + chance.normal(0, 0.01))))
    out.push(c)
  }
  return out
}

function spell(registration: string, chance: Chance): string {
  const call = fleet.find((a) => a.registration === registration)?.call_number ?? ''
  return chance.pick([
    registration,
    registration.toLowerCase(),
    `${registration.slice(0, 1)}-${registration.slice(1)}`,
    `T-${call}`,
    `Tanker ${call}`,
    `TKR${call}`,
    call,
    registration.slice(1),
  ])
}

function spellFire(number: string, chance: Chance): string {
  const fire = fires.find((f) => f.number === number)
  const name = fire?.name ?? number
  const at = chance.int(1, name.length - 3)
  return chance.pick([
    number,
    number,
    name,
    name.toUpperCase(),
    `${name} Fire`,
    name.slice(0, at) + name.slice(at + 1),
    number.split('-').slice(1).join('-'),
    number.split('-')[2] as string,
    ...(fire?.aliases ? [fire.aliases] : []),
  ])
}
