import type { Claim } from './claims.ts'
import { iso } from './clock.ts'
import { fileOf, type SeasonFile } from './files.ts'

const headers: Record<Claim['kind'], string> = {
  drop: 'dropped_at,aircraft,volume_gal,commanded_gal,coverage_level,fraction,fluid,purpose,doors,openings,latitude,longitude,height_ft,groundspeed_kt,duration_s,fire,witness,record',
  load: 'loaded_at,started_at,aircraft,base,ticket,volume_gal,target_gal,overflow,fluid,witness,record,gauge_before_gal,gauge_after_gal',
  offload: 'offloaded_at,aircraft,base,volume_gal,fluid,witness,record',
  flight: 'off_at,on_at,aircraft,hours,from_base,to_base,witness,record',
}

/** The logs under canonical headers: one file per kind and witness. */
export function canonicalFiles(claims: readonly Claim[]): SeasonFile[] {
  const files: SeasonFile[] = []
  for (const kind of ['drop', 'load', 'offload', 'flight'] as const) {
    for (const witness of ['controller', 'crew', 'tracker', 'ticket'] as const) {
      const own = claims.filter((claim) => claim.kind === kind && claim.witness === witness)
      if (own.length === 0) continue
      own.sort((a, b) => a.happened - b.happened)
      const rows = own.map(({ aircraft, times, values }) => {
        const told = Object.entries(times).map(([name, at]) => [name, iso(at)])
        return { ...Object.fromEntries(told), ...values, aircraft, witness }
      })
      files.push(
        fileOf(`logs/${kind}-${witness}.csv`, { format: 'csv', headers: headers[kind].split(',') }, rows),
      )
    }
  }
  return files
}
