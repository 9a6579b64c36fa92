import { ofDrop } from './drop-claims.ts'
import type { Flight, Load, Offload, Season } from './events.ts'
import { fleet } from './world.ts'

/** One witness's row of one event, in canonical units; `event` is the truth it speaks of. */
export interface Claim {
  kind: 'load' | 'drop' | 'flight' | 'offload' | 'assessment'
  witness: string
  event: string
  at: number
  aircraft: string
  base: string
  fields: Record<string, string | number | null>
  until?: number
}

export const controlled = (aircraft: string): boolean =>
  fleet.find((a) => a.registration === aircraft)?.hasController ?? false
let counter = 0
export const record = (at: number): string =>
  `${new Date(at * 1000).toISOString().slice(5, 10).replace('-', '')}-${++counter}`
export const minute = (at: number): number => Math.floor(at / 60) * 60

/** The clean claims: each witness tells the truth as far as it sees. */
export function claims(season: Season): Claim[] {
  counter = 0
  const out: Claim[] = []
  for (const load of season.loads) out.push(...ofLoad(load))
  for (const drop of season.drops) out.push(...ofDrop(drop, season))
  for (const flight of season.flights) out.push(...ofFlight(flight))
  for (const offload of season.offloads) out.push(ofOffload(offload))
  return out
}

function ofLoad(load: Load): Claim[] {
  const out: Claim[] = []
  const common = {
    kind: 'load',
    event: load.id,
    at: load.at,
    aircraft: load.aircraft,
    base: load.base,
  } as const
  if (load.ticket !== '')
    out.push({
      ...common,
      witness: 'ticket',
      fields: {
        started_at: load.started,
        base: load.base,
        ticket: load.ticket,
        volume_gal: load.gal,
        target_gal: load.target,
        overflow: load.overflow ? 'yes' : 'no',
        fluid: load.fluid,
      },
    })
  if (controlled(load.aircraft))
    out.push({
      ...common,
      witness: 'controller',
      fields: {
        started_at: load.started,
        volume_gal: load.gal,
        record: record(load.at),
        gauge_before_gal: load.before,
        gauge_after_gal: load.after,
      },
    })
  else if (load.ticket === '')
    out.push({
      ...common,
      witness: 'crew',
      fields: { started_at: load.started, base: load.base, volume_gal: load.gal, fluid: load.fluid },
    })
  if (controlled(load.aircraft) && load.ticket === '')
    out.push({
      ...common,
      witness: 'crew',
      fields: { base: load.base, volume_gal: load.gal, fluid: load.fluid },
    })
  return out
}

function ofFlight(flight: Flight): Claim[] {
  const common = {
    kind: 'flight',
    event: flight.id,
    at: flight.off,
    until: flight.on,
    aircraft: flight.aircraft,
    base: flight.from,
  } as const
  return [
    { ...common, witness: 'tracker', fields: { from_base: flight.from, to_base: flight.to } },
    {
      ...common,
      at: minute(flight.off),
      until: minute(flight.on),
      witness: 'crew',
      fields: { from_base: flight.from, to_base: flight.to },
    },
  ]
}

const ofOffload = (o: Offload): Claim => ({
  kind: 'offload',
  witness: 'ticket',
  event: `${o.tank}@${o.at}`,
  at: o.at,
  aircraft: o.aircraft,
  base: o.base,
  fields: { base: o.base, volume_gal: o.gal, fluid: o.fluid },
})
