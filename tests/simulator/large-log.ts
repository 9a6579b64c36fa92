import { closeSync, mkdirSync, openSync, writeSync } from 'node:fs'
import { dirname } from 'node:path'
import { DAY, dayOf } from './clock.ts'
import { csvText, profileFile, type Row, writeFiles } from './files.ts'
import { sloppyAircraft, writeAngle } from './pen.ts'
import { createRandom, type Random } from './random.ts'
import { fireNames } from './tables.ts'

export interface LargeLog {
  path: string
  rows: number
  bytes: number
  /** Rows that cannot be read (a date that does not exist, a volume that is none) or name no aircraft on record. */
  quarantined: number
  /** US gallons of all other rows, to the digits written. */
  gallons: number
  /** Files written beside it: the profile under `profiles/`, aircraft and fires under `registry/`. */
  beside: string[]
}

const headers = 'No,Date,Time,Tanker,Incident,Gals,Split,CL,Product,Type,Lat,Lon,AGL,Remarks'.split(',')

export const largeLogProfile = {
  profile: 'large-drop-log',
  format: 'csv',
  headers: [
    'No',
    'Date',
    'Time',
    'Tanker',
    'Incident',
    'Gals',
    'Split',
    'CL',
    'Product',
    'Type',
    'Lat',
    'Lon',
  ],
  zone: 'America/Boise',
  records: [
    {
      kind: 'drop',
      witness: 'crew',
      fields: {
        dropped_at: { from: ['Date', 'Time'], format: ['%m/%d/%Y %H%M', '%d %b %Y %H:%M'] },
        aircraft: { from: 'Tanker' },
        fire: { from: 'Incident' },
        volume: { from: 'Gals', unit: 'gal_us' },
        fraction: { from: 'Split' },
        coverage_level: { from: 'CL' },
        fluid: { from: 'Product' },
        purpose: { from: 'Type', values: { DROP: 'fire', JETT: 'jettison', DUMP: 'emergency' } },
        position: { from: ['Lat', 'Lon'] },
        height: { from: 'AGL', unit: 'ft' },
      },
    },
  ],
}

const fleet = 60
const perAircraftDay = 27
const seasonDays = 123
const fractions = [
  '1/4',
  '¼',
  '0.25',
  '25%',
  'quarter',
  '1/2',
  '½',
  'half',
  '50%',
  '2/4',
  'full',
  '1',
  '100%',
  '3/4',
]
const fluids = ['RET', 'retardant', 'LTR', 'Retardant', 'water', 'H2O', 'WTR', 'gel', 'GEL', 'foam']
const coverages = ['1', '2', '3', '4', '4', '6', '8', 'CL 4']
const remarks = ['', '', '', '', 'good line', 'short, wind', 'N flank', 'tied in to road']
const types = ['DROP', 'DROP', 'DROP', 'DROP', 'DROP', 'DROP', 'DROP', 'DROP', 'DROP', 'JETT']

interface Place {
  names: string[]
  latitude: number
  longitude: number
}

function makePlaces(random: Random): Place[] {
  return fireNames.slice(0, 20).map((name, index) => ({
    names: [name, name.toUpperCase(), `ZY-QXJ-${String(101 + index).padStart(6, '0')}`],
    latitude: 42.4 + 0.35 * (index % 5),
    longitude: -117.6 + 0.55 * Math.floor(index / 5) + random.between(0, 0.05),
  }))
}

function registryRows(places: Place[], years: number[]): { aircraft: Row[]; fires: Row[] } {
  const aircraft = Array.from({ length: fleet }, (_, index) => ({
    registration: `N${801 + index}ZY`,
    call_number: `T${801 + index}`,
  }))
  const fires = years.flatMap((year) =>
    places.map(({ names, latitude, longitude }) => ({
      number: names[2]!,
      name: names[0]!,
      latitude,
      longitude: Number(longitude.toFixed(5)),
      started_at: `${year}-05-25T00:00:00Z`,
      ended_at: `${year}-10-15T00:00:00Z`,
    })),
  )
  return { aircraft, fires }
}

/** `07/04/2026,1230` or `04 Jul 2026,12:30` for each day of a season and each minute of a day, made once. */
function dayTexts(at: number): { us: string; european: string } {
  const [year, month, day] = dayOf(at, 'UTC').split('-')
  const name = new Date(at * 1000).toLocaleString('en-US', { month: 'short', timeZone: 'UTC' })
  return { us: `${month}/${day}/${year}`, european: `${day} ${name} ${year}` }
}

/**
 * Streams a messy crew log of so many drops: seasons of 123 days, 60 aircraft with 27 drops a day each, in
 * order of time, as one CSV file in local time. Two million rows are about 190 MB. The same seed gives the
 * same bytes. Files of the same names beside it are replaced.
 */
export function writeLargeDropLog(path: string, rows: number, { seed }: { seed: number }): LargeLog {
  const random = createRandom(seed)
  const { next } = random
  const one = <T>(items: readonly T[]): T => items[Math.floor(next() * items.length)]!
  const places = makePlaces(random.fork('places'))
  const perSeason = fleet * perAircraftDay * seasonDays
  const seasons = Math.max(1, Math.ceil(rows / perSeason))
  const years = Array.from({ length: seasons }, (_, index) => 2027 - seasons + index)
  const spelled = Array.from({ length: fleet }, (_, index) => {
    const registration = `N${801 + index}ZY`
    const sloppy = Array.from({ length: 4 }, () => sloppyAircraft(registration, random))
    return [...Array.from({ length: 8 }, () => registration), ...sloppy]
  })
  const minutes = Array.from({ length: 1440 }, (_, minute) => {
    const [hour, rest] = [
      String(Math.floor(minute / 60)).padStart(2, '0'),
      String(minute % 60).padStart(2, '0'),
    ]
    return { us: `${hour}${rest}`, european: `${hour}:${rest}` }
  })
  mkdirSync(dirname(path), { recursive: true })
  const file = openSync(path, 'w')
  let buffer = `${headers.join(',')}\n`
  let written = 0
  let bytes = 0
  let quarantined = 0
  let gallons = 0
  const flush = (): void => {
    bytes += writeSync(file, buffer)
    buffer = ''
  }
  const volume = (): string => {
    const gal = 200 + 10 * Math.floor(next() * 380)
    const grouped =
      gal >= 1000 ? `${Math.floor(gal / 1000)},${String(gal % 1000).padStart(3, '0')}` : String(gal)
    const way = next()
    if (way < 0.05) {
      const litres = Math.round(gal * 3.785411784)
      gallons += litres / 3.785411784
      return `${litres} L`
    }
    gallons += gal
    if (way < 0.5) return String(gal)
    if (way < 0.75) return gal >= 1000 ? `"${grouped}"` : grouped
    return gal >= 1000 ? `"${grouped} gal"` : `${grouped} gal`
  }
  const angle = (value: number, axis: 'latitude' | 'longitude', decimal: boolean): string =>
    decimal ? value.toFixed(5) : writeAngle(value, axis, 'DDM')
  const line = (date: string, time: string, aircraft: string): void => {
    const wrong = next()
    let [tanker, day] = [aircraft, date]
    let gal: string | null = null
    if (wrong < 0.0005) tanker = 'N999QX'
    else if (wrong < 0.0008) gal = 'see ticket'
    else if (wrong < 0.001) day = date.includes('/') ? `06/31/${date.slice(6)}` : `31 Jun ${date.slice(7)}`
    const before = gallons
    gal ??= volume()
    if (wrong < 0.001) {
      gallons = before
      quarantined++
    }
    const fire = one(places)
    const decimal = next() < 0.6
    const latitude = angle(fire.latitude + (next() - 0.5) * 0.1, 'latitude', decimal)
    const longitude = angle(fire.longitude + (next() - 0.5) * 0.1, 'longitude', decimal)
    const name = next() < 0.06 ? '' : one(fire.names)
    const height = 150 + Math.floor(next() * 140)
    const told = `${one(fractions)},${one(coverages)},${one(fluids)},${one(types)}`
    const note = one(remarks)
    const quoted = note.includes(',') ? `"${note}"` : note
    buffer += `${written + 1},${day},${time},${tanker},${name},${gal},${told},${latitude},${longitude},${height},${quoted}\n`
    written++
  }
  for (const year of years) {
    const first = Date.UTC(year, 5, 1) / 1000
    for (let day = 0; day < seasonDays && written < rows; day++) {
      const date = dayTexts(first + day * DAY)
      for (let round = 0; round < perAircraftDay && written < rows; round++)
        for (let index = 0; index < fleet && written < rows; index++) {
          const minute = minutes[480 + round * 26 + ((index * 7) % 23)]!
          const isUs = index % 3 !== 0
          line(isUs ? date.us : date.european, isUs ? minute.us : minute.european, one(spelled[index]!))
        }
      if (buffer.length > 1 << 20) flush()
    }
  }
  flush()
  closeSync(file)
  const { aircraft, fires } = registryRows(places, years)
  const beside = [
    profileFile(largeLogProfile),
    { path: 'registry/aircraft.csv', bytes: Buffer.from(csvText(Object.keys(aircraft[0]!), aircraft)) },
    { path: 'registry/fire.csv', bytes: Buffer.from(csvText(Object.keys(fires[0]!), fires)) },
  ]
  writeFiles(dirname(path), beside)
  return { path, rows: written, bytes, quarantined, gallons, beside: beside.map((each) => each.path) }
}
