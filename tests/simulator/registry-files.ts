import { iso } from './clock.ts'
import { fileOf, type Row, type SeasonFile } from './files.ts'
import type { World } from './truth.ts'

const canonical = (path: string, headers: string, rows: Row[]): SeasonFile[] =>
  rows.length > 0 ? [fileOf(path, { format: 'csv', headers: headers.split(',') }, rows)] : []

const off = (at: number | null): string | null => (at === null ? null : iso(at))

/** The registry under canonical headers, which need no profile. */
export function registryFiles(world: World): SeasonFile[] {
  return [
    ...canonical(
      'registry/aircraft.csv',
      'registration,call_number,type_designator,class,max_load_gal,max_speed_kt',
      world.aircraft.map(
        ({ registration, call_number, type_designator, class: name, max_load_gal, max_speed_kt }) => ({
          registration,
          call_number,
          type_designator,
          class: name,
          max_load_gal,
          max_speed_kt,
        }),
      ),
    ),
    ...canonical(
      'registry/tank.csv',
      'serial,part_number,capacity_gal,doors,door_use,flow,peak_flow_gal_s,pattern_width_ft',
      world.tanks.map((tank) => ({ ...tank })),
    ),
    ...canonical(
      'registry/mounting.csv',
      'tank,aircraft,on_at,off_at',
      world.mountings.map((one) => ({ ...one, on_at: iso(one.on), off_at: off(one.off) })),
    ),
    ...canonical(
      'registry/component.csv',
      'serial,kind,part_number',
      world.components.map((one) => ({ ...one })),
    ),
    ...canonical(
      'registry/fitting.csv',
      'component,tank,position,on_at,off_at',
      world.fittings.map((one) => ({ ...one, on_at: iso(one.on), off_at: off(one.off) })),
    ),
    ...canonical(
      'registry/baseline.csv',
      'item,counter,value,counted_at',
      world.baselines.map(({ item, counter, value, at }) => ({ item, counter, value, counted_at: iso(at) })),
    ),
    ...canonical(
      'registry/base.csv',
      'code,name,zone,latitude,longitude,meter_class,aliases',
      world.bases.map(({ code, name, zone, latitude, longitude, meter_class, aliases }) => ({
        code,
        name,
        zone,
        latitude,
        longitude,
        meter_class,
        aliases: aliases.join(';'),
      })),
    ),
    ...canonical(
      'registry/fire.csv',
      'number,name,latitude,longitude,started_at,ended_at,fuel,radius_nm,aliases',
      world.fires.map((fire) => ({
        ...fire,
        started_at: iso(fire.started),
        ended_at: iso(fire.ended),
        radius_nm: fire.radius_nm === 5 ? null : fire.radius_nm,
        aliases: fire.aliases.join(';'),
      })) as Row[],
    ),
  ]
}
