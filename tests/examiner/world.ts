import type { Aircraft, Base, Fire, Mounting, Tank } from './registry.ts'
import { utc } from './registry.ts'

const base = (
  code: string,
  name: string,
  zone: string,
  latitude: number,
  longitude: number,
  aliases: string,
): Base => ({
  code,
  name,
  zone,
  latitude,
  longitude,
  aliases,
})

/** Bases in three zones, one of them without summer time. */
export const bases: readonly Base[] = [
  base('ALD', 'Alder Creek', 'America/Los_Angeles', 42.2, -120.4, 'Alder;Alder Ck'),
  base('BRN', 'Burnt Mesa', 'America/Denver', 42.9, -114.6, 'Burnt M'),
  base('CTW', 'Cottonwood Flat', 'America/Phoenix', 37.9, -113.9, 'Cottonwood'),
]

const plane = (
  registration: string,
  call_number: string,
  load: number,
  cruise_kt: number,
  hasController: boolean,
  home: string,
): Aircraft => ({
  registration,
  call_number,
  class: load < 1000 ? 'single-engine' : 'large',
  max_load_gal: load,
  max_speed_kt: cruise_kt + 80,
  cruise_kt,
  hasController,
  home,
})

/** One of them has no tank controller: only its crew writes. */
export const fleet: readonly Aircraft[] = [
  plane('N101QA', '91', 3000, 240, true, 'ALD'),
  plane('N102QB', '92', 3000, 240, true, 'ALD'),
  plane('N103QC', '93', 4000, 260, true, 'BRN'),
  plane('N104QD', '94', 800, 140, false, 'BRN'),
  plane('N105QE', '95', 3000, 240, true, 'CTW'),
]

const tank = (serial: string, capacity_gal: number, doors: number, door_use: string): Tank => ({
  serial,
  capacity_gal,
  doors,
  door_use,
})

export const tanks: readonly Tank[] = [
  tank('TK-11', 3000, 2, 'together'),
  tank('TK-12', 3000, 2, ''),
  tank('TK-13', 4000, 4, 'in-sequence'),
  tank('TK-14', 800, 1, ''),
  tank('TK-15', 3000, 2, 'together'),
  tank('TK-16', 2800, 3, 'together'),
]

const mounted = (tank: string, aircraft: string, on: string, off: string | null): Mounting => ({
  tank,
  aircraft,
  on_at: utc(`${on}T12:00Z`),
  off_at: off === null ? null : utc(`${off}T12:00Z`),
})

/** Tanks that change airframes in July and August. */
export const mountings: readonly Mounting[] = [
  mounted('TK-11', 'N101QA', '2024-09-01', '2025-07-10'),
  mounted('TK-12', 'N102QB', '2024-09-01', '2025-07-13'),
  mounted('TK-13', 'N103QC', '2024-09-01', null),
  mounted('TK-14', 'N104QD', '2024-09-01', null),
  mounted('TK-15', 'N105QE', '2024-09-01', null),
  mounted('TK-16', 'N101QA', '2025-07-12', null),
  mounted('TK-11', 'N102QB', '2025-07-15', '2025-08-20'),
  mounted('TK-12', 'N102QB', '2025-08-21', null),
]

const fire = (
  number: string,
  name: string,
  place: [number, number],
  from: string,
  to: string,
  radius_nm: number | null,
  aliases = '',
): Fire => ({
  number,
  name,
  latitude: place[0],
  longitude: place[1],
  started_at: utc(`${from}T18:00Z`),
  ended_at: utc(`${to}T12:00Z`),
  radius_nm,
  aliases,
})

/** Two of them lie side by side; one is of the year before, at a place that burns again. */
export const fires: readonly Fire[] = [
  fire('OR-LVD-000101', 'Juniper Gulch', [42.5, -120.9], '2025-06-05', '2025-07-08', null, 'Juniper'),
  fire('OR-LVD-000145', 'Paint Rock', [41.8, -121.1], '2025-07-01', '2025-08-12', 8, 'Paintrock'),
  fire('ID-TFD-000201', 'Sublett', [42.4, -113.6], '2025-06-10', '2025-09-20', 6),
  fire('ID-TFD-000233', 'Cassia Rim', [43.6, -114.2], '2025-07-20', '2025-08-25', null),
  fire('UT-CCD-000310', 'Kanab Wash', [38.2, -113.2], '2025-05-25', '2025-07-25', 5, 'Kanab'),
  fire('UT-CCD-000377', 'Mount Trumbull', [37.6, -114.5], '2025-07-10', '2025-09-28', 10, 'Trumbull'),
  fire('ID-TFD-000240', 'Sublett Spot', [42.52, -113.6], '2025-07-01', '2025-09-20', 2),
  fire('OR-LVD-000990', 'Autumn Butte', [42.5, -120.9], '2024-09-20', '2024-10-20', null),
]
