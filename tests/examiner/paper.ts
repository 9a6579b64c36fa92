import { gzipSync } from 'node:zlib'
import { canonicalFiles, csv, iso, type Row } from './canonical.ts'
import type { Claim } from './claims.ts'
import { baseOf, zoneOffset } from './places.ts'
import { profiles, sheetZone } from './profiles.ts'

const litres = 3.785411784
const imperial = 3.785411784 / 4.54609

/** A claims' season as its senders would send it: odd encodings, units, zones and spellings, and a sheet that grows. */
export function paperFiles(list: readonly Claim[]): Record<string, string | Uint8Array> {
  const of = (kind: string, witness: string): Claim[] =>
    list.filter((claim) => claim.kind === kind && claim.witness === witness)
  const rest = list.filter(
    (claim) =>
      !(claim.kind === 'drop' && (claim.witness === 'crew' || claim.witness === 'controller')) &&
      !(claim.kind === 'load' && (claim.witness === 'ticket' || claim.witness === 'controller')) &&
      !(claim.kind === 'flight' && claim.witness === 'tracker'),
  )
  const crew = of('drop', 'crew').map(crewRow)
  const files: Record<string, string | Uint8Array> = {
    ...canonicalFiles(rest),
    'sheet-1.csv': windows1252(csv(crew.slice(0, Math.floor(crew.length * 0.6))).replaceAll(',', ';')),
    'sheet-2.csv': windows1252(csv(crew).replaceAll(',', ';')),
    'tickets.csv': `\ufeff${csv(of('load', 'ticket').map(ticketRow))}`,
    'flights.tsv': utf16(csv(of('flight', 'tracker').map(flightRow)).replaceAll(',', '\t')),
  }
  const download = [...of('load', 'controller'), ...of('drop', 'controller')]
  for (const month of new Set(download.map((claim) => iso(claim.at).slice(0, 7)))) {
    const lines = download.filter((claim) => iso(claim.at).startsWith(month)).map(downloadLine)
    files[`download-${month}.jsonl.gz`] = gzipSync(
      [{ k: 'BOOT', ms: 0 }, ...lines].map((x) => JSON.stringify(x)).join('\n'),
    )
  }
  for (const profile of profiles) files[`profiles/${profile.profile}.json`] = JSON.stringify(profile)
  return files
}

const local = (at: number, zone: string): string => iso(at + zoneOffset(zone, at)).slice(0, 19)
const comma = (value: unknown): string =>
  value === null || value === undefined ? '' : String(value).replace('.', '·')
const splits: Record<string, string[]> = {
  full: ['full', '100%', '1'],
  '1/2': ['½', 'half', '50%', '2/4'],
  '1/3': ['1/3', '⅓'],
  '1/4': ['¼', '25 %', 'quarter', '0.25'],
}

function minutes(value: unknown, letters: string): string {
  if (typeof value !== 'number') return ''
  const whole = Math.floor(Math.abs(value))
  return `${whole}° ${((Math.abs(value) - whole) * 60).toFixed(4)}' ${letters[value < 0 ? 1 : 0]}`
}

/** One line of the crew's sheet; a decimal point is written `·` until separators are settled. */
function crewRow(claim: Claim, number: number): Row {
  const f = claim.fields
  const spellings = splits[String(f.fraction ?? '')] ?? ['']
  const time = local(claim.at, sheetZone)
  const gal = typeof f.volume_gal === 'number' ? comma(f.volume_gal * litres) : ''
  return {
    Date: `${time.slice(8, 10)}.${time.slice(5, 7)}.${time.slice(0, 4)}`,
    Time: time.slice(11),
    Tanker: claim.aircraft,
    Incident: f.fire,
    Litres: gal,
    Split: spellings[number % spellings.length],
    CL: comma(f.coverage_level),
    Fluid: f.fluid === 'retardant' ? 'RET' : f.fluid,
    What: f.purpose,
    Ordered: comma(f.commanded_gal),
    Openings: f.openings,
    Lat: minutes(f.latitude, 'NS'),
    Lon: minutes(f.longitude, 'EW'),
  }
}

function ticketRow(claim: Claim): Row {
  const f = claim.fields
  const zone = baseOf(String(f.base)).zone
  const stamp = (at: number): string => {
    const text = local(at, zone)
    return `${text.slice(5, 7)}/${text.slice(8, 10)}/${text.slice(0, 4)} ${text.slice(11)}`
  }
  return {
    Filled: stamp(claim.at),
    Begun: stamp(Date.parse(String(f.started_at)) / 1000 || Number(f.started_at)),
    Base: f.base,
    Slip: f.ticket,
    Tanker: claim.aircraft,
    'Imp gal': `${Number(f.volume_gal) * imperial} gal`,
    Asked: Number(f.target_gal) * imperial,
    Over: f.overflow,
    Product: f.fluid,
  }
}

const flightRow = (claim: Claim): Row => ({
  Off: iso(claim.at),
  On: iso(claim.until ?? claim.at),
  Reg: claim.aircraft,
  From: claim.fields.from_base,
  To: claim.fields.to_base,
})

function downloadLine(claim: Claim): object {
  const f = claim.fields
  const common = { ms: claim.at * 1000, tail: claim.aircraft, id: f.record, vol: `${f.volume_gal} gal` }
  if (claim.kind === 'load')
    return {
      k: 'FILL',
      ...common,
      start: Number(f.started_at) * 1000,
      before: f.gauge_before_gal,
      after: f.gauge_after_gal,
    }
  return {
    k: 'DROP',
    ...common,
    cmd: f.commanded_gal,
    cl: f.coverage_level,
    split: f.fraction,
    doors: f.doors,
    n: f.openings,
    pos: `${f.latitude}, ${f.longitude}`,
    agl: f.height_ft,
    gs: f.groundspeed_kt,
    s: f.duration_s,
    why: f.purpose,
  }
}

const utf16 = (text: string): Uint8Array => Buffer.from(`\ufeff${text}`, 'utf16le')
/** `½` and `°` are one byte each; what this code page lacks is spelt out. */
const windows1252 = (text: string): Uint8Array =>
  Buffer.from(text.replaceAll('·', ',').replaceAll('⅓', '1/3'), 'latin1')
