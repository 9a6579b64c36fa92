import { type Claim, controlled, minute, record } from './claims.ts'
import type { Drop, Season } from './events.ts'

/** What controller, crew and observers say of a drop. */
export function ofDrop(drop: Drop, season: Season): Claim[] {
  const out: Claim[] = []
  const common = {
    kind: 'drop',
    event: drop.id,
    at: drop.at,
    aircraft: drop.aircraft,
    base: drop.base,
  } as const
  const isControlled = controlled(drop.aircraft)
  const key = record(drop.at)
  if (isControlled)
    out.push({
      ...common,
      witness: 'controller',
      fields: {
        volume_gal: drop.gal,
        commanded_gal: drop.commanded,
        coverage_level: drop.coverage,
        fraction: drop.fraction,
        doors: drop.doors?.join(';') ?? '',
        openings: drop.openings,
        latitude: drop.latitude,
        longitude: drop.longitude,
        height_ft: drop.height,
        groundspeed_kt: drop.speed,
        duration_s: drop.duration,
        record: key,
        purpose: drop.purpose === 'ground-test' || drop.purpose === 'emergency' ? drop.purpose : '',
      },
    })
  if (drop.purpose !== 'ground-test')
    out.push({
      ...common,
      at: isControlled ? minute(drop.at) : drop.at,
      witness: 'crew',
      fields: {
        volume_gal: drop.gal,
        coverage_level: drop.coverage,
        fraction: drop.fraction,
        fluid: drop.fluid,
        purpose: drop.purpose,
        fire: drop.stated ? drop.fire : '',
        ...(isControlled
          ? {}
          : {
              commanded_gal: drop.commanded,
              openings: drop.openings,
              doors: drop.doors?.join(';') ?? '',
              latitude: drop.latitude,
              longitude: drop.longitude,
              height_ft: drop.height,
              groundspeed_kt: drop.speed,
            }),
      },
    })
  for (const a of season.assessments.filter((x) => x.drop === drop.id))
    out.push({
      kind: 'assessment',
      witness: '',
      event: drop.id,
      at: a.at,
      aircraft: a.aircraft,
      base: drop.base,
      fields: {
        record: isControlled ? key : '',
        objective: a.objective,
        fuel: a.fuel,
        met_fire: a.met,
        effective: a.effective,
        line_ft: a.line,
      },
    })
  return out
}
