/** One folder of `sample-logs/troubles`: files with one thing wrong, and what should be said of it. */
export interface Trouble {
  name: string
  /** What is in the folder and what gallonage should say. */
  about: string
  files: Record<string, string | Uint8Array>
}

export const lines = (...rows: string[]): string => `${rows.join('\n')}\n`

/** The little that a trouble folder needs to stand alone. */
export const registry: Record<string, string> = {
  'registry/aircraft.csv': lines(
    'registration,call_number,class,max_load_gal,max_speed_kt',
    'N801ZY,T801,large,3000,380',
    'N802ZY,T802,medium,1600,320',
  ),
  'registry/tank.csv': lines('serial,capacity_gal,doors', 'TX-101,3000,6', 'TM-102,1600,4'),
  'registry/mounting.csv': lines(
    'tank,aircraft,on_at,off_at',
    'TX-101,N801ZY,2026-05-20T16:00:00Z,',
    'TM-102,N802ZY,2026-05-20T16:00:00Z,',
  ),
  'registry/base.csv': lines(
    'code,name,zone,latitude,longitude',
    'JUN,Juniper Flat,America/Boise,43.562,-116.212',
  ),
  'registry/fire.csv': lines(
    'number,name,latitude,longitude,started_at,ended_at',
    'ZY-QXJ-000900,Anvil Creek,43.9,-116.1,2026-07-01T00:00:00Z,2026-07-20T00:00:00Z',
  ),
}

export const dropHeader = 'dropped_at,aircraft,volume_gal,fire,purpose,witness'
export const loadHeader =
  'loaded_at,aircraft,base,ticket,volume_gal,fluid,witness,gauge_before_gal,gauge_after_gal'
export const flightHeader = 'off_at,on_at,aircraft,from_base,to_base,witness'
