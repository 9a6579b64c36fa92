import { iso, MINUTE } from './clock.ts'
import { fileOf, type Row, type SeasonFile } from './files.ts'
import type { Random } from './random.ts'
import type { Events, TrueFire, World } from './truth.ts'

export interface Assessment {
  assessed_at: string
  aircraft: string
  record: string | null
  fire: string
  fuel: string
  objective: string
  met_fire: 'yes' | 'no' | 'unknown'
  effective: 'yes' | 'no' | 'unknown'
  line_ft: number
  observer_role: string
  wind_kt: number
  drop: string
}

const objectives = ['direct-line', 'indirect-line', 'point-protection', 'delay', 'cool-down'] as const

/** What observers said of some of the drops; often they could not tell. */
export function assess(world: World, events: Events, share: number, random: Random): Assessment[] {
  const fires = new Map<string, TrueFire>(world.fires.map((fire) => [fire.number, fire]))
  const unique = new Set(
    world.aircraft.filter((one) => one.controller === 'b').map((one) => one.registration),
  )
  const widths = new Map(world.tanks.map((tank) => [tank.serial, tank.pattern_width_ft]))
  // Fluid falls beside the line and thins out at its ends: what is seen is a part of what could be laid.
  const seen = (drop: string): number => 0.55 + 0.35 * random.fork(`line of ${drop}`).next()
  const found: Assessment[] = []
  for (const [index, drop] of events.drops.entries()) {
    const fire = drop.fire && fires.get(drop.fire)
    if (!fire || drop.witnesses.length === 0 || !random.chance(share)) continue
    const next = events.drops.find((one, later) => later > index && one.aircraft === drop.aircraft)
    const at = drop.at + random.whole(1, 25) * MINUTE
    const isLast = !next || next.at > at
    if (!isLast && !unique.has(drop.aircraft)) continue
    const wind = random.whole(2, 25)
    const met = random.weighted([
      ['yes', 62],
      ['no', 20],
      ['unknown', 18],
    ] as const)
    const held = 0.86 - wind * 0.015 + (drop.coverage_level ?? 2) * 0.015
    const judged = random.chance(held) ? 'yes' : 'no'
    found.push({
      assessed_at: iso(at),
      aircraft: drop.aircraft,
      record: unique.has(drop.aircraft) && drop.witnesses.includes('controller') ? drop.record : null,
      fire: fire.number,
      fuel: fire.fuel,
      objective: random.pick(objectives),
      met_fire: met,
      effective: met === 'yes' ? (random.chance(0.15) ? 'unknown' : judged) : 'unknown',
      line_ft: Math.round(
        seen(drop.id) *
          ((drop.volume_gal * 100) / ((drop.coverage_level ?? 2) * (widths.get(drop.tank) ?? 60))),
      ),
      observer_role: random.pick(['air-attack', 'lead-plane', 'ground-crew']),
      wind_kt: wind,
      drop: drop.id,
    })
  }
  return found
}

export function assessmentFile(assessments: readonly Assessment[]): SeasonFile {
  const headers =
    'assessed_at,aircraft,record,fire,fuel,objective,met_fire,effective,line_ft,observer_role,wind_kt'.split(
      ',',
    )
  return fileOf('assessments/assessment.csv', { format: 'csv', headers }, assessments as unknown as Row[])
}
