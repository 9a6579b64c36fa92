import type { Claim } from '../claims.ts'
import { write } from '../clock.ts'
import { issued, litresPerGallon, type Sheet } from './sheet.ts'

const eventNames: Record<string, string> = { load: 'FILL', offload: 'PUMPOUT', drop: 'DROP' }

function eventOf(claim: Claim): string {
  if (claim.values.purpose === 'emergency') return 'EMERG'
  if (claim.values.purpose === 'ground-test') return 'DOORTEST'
  return eventNames[claim.kind]!
}
const timeOf = (claim: Claim): number =>
  claim.times.dropped_at ?? claim.times.loaded_at ?? claim.times.offloaded_at ?? claim.times.off_at!

function controllerProfile(
  name: string,
  rest: Record<string, unknown>,
  event: string,
  time: { from: string | string[]; format: string[] },
  names: Record<string, string>,
  units: { volume: string; height: string; speed: string },
): Sheet['profile'] {
  const volume = (from: string): object => ({ from: names[from], unit: units.volume })
  const common = { aircraft: { from: names.aircraft }, record: { from: names.record } }
  const drop = (value: string, purpose?: string): object => ({
    kind: 'drop',
    witness: 'controller',
    where: { [event]: [value] },
    fields: {
      dropped_at: time,
      ...common,
      volume: volume('volume'),
      commanded: volume('set'),
      coverage_level: { from: names.coverage },
      doors: { from: names.doors },
      openings: { from: names.openings },
      position: { from: [names.latitude, names.longitude] },
      height: { from: names.height, unit: units.height },
      groundspeed: { from: names.speed, unit: units.speed },
      duration: { from: names.duration, unit: 's' },
    },
    ...(purpose ? { constants: { purpose } } : {}),
  })
  return {
    profile: name,
    ...rest,
    zone: 'UTC',
    issued_at: issued,
    ignore: { [event]: ['BOOT'] },
    records: [
      drop('DROP'),
      drop('EMERG', 'emergency'),
      drop('DOORTEST', 'ground-test'),
      {
        kind: 'load',
        witness: 'controller',
        where: { [event]: ['FILL'] },
        fields: {
          loaded_at: time,
          ...common,
          volume: volume('volume'),
          target: volume('set'),
          gauge_before: volume('before'),
          gauge_after: volume('after'),
        },
      },
      {
        kind: 'offload',
        witness: 'controller',
        where: { [event]: ['PUMPOUT'] },
        fields: { offloaded_at: time, ...common, volume: volume('volume') },
      },
    ],
  }
}

const headersA = [
  'Rec',
  'Date UTC',
  'Time UTC',
  'Event',
  'Tail',
  'Set gal',
  'Vol gal',
  'Lvl before',
  'Lvl after',
]
const moreA = ['CL', 'Doors', 'Openings', 'Lat', 'Lon', 'GS kt', 'AGL ft', 'Open s']

/** Controller download in US gallons and UTC. */
export const controllerA: Sheet = {
  form: { format: 'csv', headers: [...headersA, ...moreA] },
  profile: controllerProfile(
    'tank-controller-download',
    { format: 'csv', headers: ['Rec', 'Date UTC', 'Time UTC', 'Event', 'Vol gal', 'Lvl before'] },
    'Event',
    { from: ['Date UTC', 'Time UTC'], format: ['%Y-%m-%d %H:%M:%S'] },
    {
      aircraft: 'Tail',
      record: 'Rec',
      volume: 'Vol gal',
      set: 'Set gal',
      before: 'Lvl before',
      after: 'Lvl after',
      coverage: 'CL',
      doors: 'Doors',
      openings: 'Openings',
      latitude: 'Lat',
      longitude: 'Lon',
      height: 'AGL ft',
      speed: 'GS kt',
      duration: 'Open s',
    },
    { volume: 'gal_us', height: 'ft', speed: 'kt' },
  ),
  row: (claim) => ({
    Rec: claim.values.record ?? null,
    'Date UTC': write(timeOf(claim), 'UTC', '%Y-%m-%d'),
    'Time UTC': write(timeOf(claim), 'UTC', '%H:%M:%S'),
    Event: eventOf(claim),
    Tail: claim.aircraft,
    'Set gal': claim.values.commanded_gal ?? claim.values.target_gal ?? null,
    'Vol gal': claim.values.volume_gal ?? null,
    'Lvl before': claim.values.gauge_before_gal ?? null,
    'Lvl after': claim.values.gauge_after_gal ?? null,
    CL: claim.values.coverage_level ?? null,
    Doors: claim.values.doors ?? null,
    Openings: claim.values.openings ?? null,
    Lat: claim.values.latitude ?? null,
    Lon: claim.values.longitude ?? null,
    'GS kt': claim.values.groundspeed_kt ?? null,
    'AGL ft': claim.values.height_ft ?? null,
    'Open s': claim.values.duration_s ?? null,
  }),
}

/** Controller download in litres, metres and milliseconds, as gzip-compressed JSON lines. */
export const controllerB: Sheet = {
  form: {
    format: 'jsonl',
    gzip: true,
    headers: [
      'rec',
      't_ms',
      'ev',
      'tail',
      'set_l',
      'vol_l',
      'lvl0_l',
      'lvl1_l',
      'cl',
      'doors',
      'n',
      'lat',
      'lon',
    ],
  },
  profile: controllerProfile(
    'tank-controller-stream',
    { format: 'jsonl', headers: ['rec', 't_ms', 'ev', 'vol_l', 'lvl0_l', 'lvl1_l'] },
    'ev',
    { from: 't_ms', format: ['epoch_ms'] },
    {
      aircraft: 'tail',
      record: 'rec',
      volume: 'vol_l',
      set: 'set_l',
      before: 'lvl0_l',
      after: 'lvl1_l',
      coverage: 'cl',
      doors: 'doors',
      openings: 'n',
      latitude: 'lat',
      longitude: 'lon',
      height: 'agl_m',
      speed: 'gs_kmh',
      duration: 'open_s',
    },
    { volume: 'L', height: 'm', speed: 'km/h' },
  ),
  row({ values, ...claim }, pen) {
    const litres = (value: Claim['values'][string] | undefined): number | null =>
      pen.measured(value ?? null, litresPerGallon, 0.1)
    return {
      rec: values.record ?? null,
      t_ms: timeOf({ values, ...claim }) * 1000,
      ev: eventOf({ values, ...claim }),
      tail: claim.aircraft,
      set_l: litres(values.commanded_gal ?? values.target_gal),
      vol_l: litres(values.volume_gal),
      lvl0_l: litres(values.gauge_before_gal),
      lvl1_l: litres(values.gauge_after_gal),
      cl: values.coverage_level ?? null,
      doors: values.doors ?? null,
      n: values.openings ?? null,
      lat: values.latitude ?? null,
      lon: values.longitude ?? null,
      agl_m: pen.measured(values.height_ft ?? null, 0.3048, 0.1),
      gs_kmh: pen.measured(values.groundspeed_kt ?? null, 1.852, 0.1),
      open_s: values.duration_s ?? null,
    }
  },
}
