import type { Claim } from './claims.ts'
import { DAY, dayOf, HOUR } from './clock.ts'
import { type Fates, fileOf, profileFile, type Row, type SeasonFile } from './files.ts'
import type { Settings } from './options.ts'
import { makePen, type Pen } from './pen.ts'
import type { Random } from './random.ts'
import { controllerA, controllerB } from './sheets/controller.ts'
import { crewMountain, crewPacific } from './sheets/crew.ts'
import { flightLog, trackerFlights } from './sheets/flights.ts'
import type { Sheet } from './sheets/sheet.ts'
import { ticketSheets } from './sheets/tickets.ts'
import type { TrueAircraft, World } from './truth.ts'

/** Which true events a line of a file tells of. Lines count from 1, header and title rows included. */
export interface LineTruth {
  path: string
  line: number
  kind: Claim['kind']
  witness: Claim['witness']
  of: string[]
}

interface Told {
  row: Row
  claim: Claim | null
}

export interface TradeFiles {
  files: SeasonFile[]
  lines: LineTruth[]
}

interface Office {
  world: World
  settings: Settings
  random: Random
  pen: Pen
  out: TradeFiles
}

const compact = (day: string): string => day.replaceAll('-', '')
const isPacific = (zone: string): boolean => zone === 'America/Los_Angeles'

function firstLine(sheet: Sheet): number {
  if (sheet.form.format === 'jsonl') return 1
  return 2 + (sheet.form.above?.length ?? 0)
}

function put(office: Office, sheet: Sheet, path: string, told: readonly Told[], fates: Fates): void {
  const { out } = office
  const rows = told.map((one) => one.row)
  out.files.push(fileOf(path, sheet.form, rows, fates))
  for (const [index, { claim }] of told.entries()) {
    if (!claim) continue
    const { kind, witness, of } = claim
    out.lines.push({ path, line: firstLine(sheet) + index, kind, witness, of })
  }
}

const fatesOf = (told: readonly Told[], changes: Partial<Fates> = {}): Fates => {
  const read = told.filter((one) => one.claim !== null).length
  const { duplicate = 0, superseded = 0, quarantined = 0 } = changes
  return { read, accepted: read - duplicate - superseded - quarantined, duplicate, superseded, quarantined }
}

const inOrder = (claims: Claim[]): Claim[] => claims.sort((a, b) => a.happened - b.happened)

/** Claims cut into stretches of so many days from the season's start, with the last day of each. */
function stretches(world: World, claims: Claim[], length: number): { last: string; claims: Claim[] }[] {
  const cut = new Map<number, Claim[]>()
  for (const claim of inOrder(claims)) {
    const index = Math.floor((claim.happened - 8 * HOUR - world.start) / (length * DAY))
    const own = cut.get(index)
    if (own) own.push(claim)
    else cut.set(index, [claim])
  }
  return [...cut].map(([index, own]) => ({
    last: dayOf(world.start + ((index + 1) * length - 1) * DAY, 'UTC'),
    claims: own,
  }))
}

/** Downloads, week by week unless told otherwise; where downloads overlap, each starts with the last day of the one before. */
function controllerFiles(office: Office, one: TrueAircraft, claims: Claim[]): void {
  const { world, settings, pen } = office
  const sheet = one.controller === 'a' ? controllerA : controllerB
  const ending = one.controller === 'a' ? 'csv' : 'jsonl.gz'
  let before: Told[] = []
  for (const { last, claims: own } of stretches(world, claims, settings.downloadDays)) {
    const told = own.map((claim) => ({ row: sheet.row(claim, pen), claim }))
    const boot: Told = { row: { ...told[0]!.row, ...blanked(sheet, told[0]!.row) }, claim: null }
    const again = settings.mess.overlaps ? before : []
    const path = `controller/${one.registration}-${compact(last)}.${ending}`
    const all = [...again, boot, ...told]
    put(office, sheet, path, all, fatesOf(all, { duplicate: again.length }))
    const lastDay = own.at(-1)!.day
    before = told.filter((line) => line.claim.day === lastDay)
  }
}

/** A line that is no record: the controller says that it was switched on. */
function blanked(sheet: Sheet, row: Row): Row {
  const isA = sheet === controllerA
  const kept = isA ? ['Date UTC', 'Time UTC', 'Tail'] : ['t_ms', 'tail']
  const blank = Object.fromEntries(
    Object.keys(row).map((name) => [name, kept.includes(name) ? row[name]! : null]),
  )
  return { ...blank, [isA ? 'Event' : 'ev']: 'BOOT' }
}

/**
 * Crew sheets, a fortnight each unless told otherwise. Where sheets are re-sent, each is issued several times, longer every time, and
 * some lines were wrong at first: the volume of the first issue is put right in the next.
 */
function crewFiles(office: Office, one: TrueAircraft, zone: string, claims: Claim[]): void {
  const { world, settings, pen, random } = office
  const { mess } = settings
  const sheet = isPacific(zone) ? crewPacific : crewMountain
  const volume = isPacific(zone) ? 'Volume' : 'Gals'
  const ending = isPacific(zone) ? 'xlsx' : 'csv'
  for (const [number, { last, claims: own }] of stretches(world, claims, settings.sheetDays).entries()) {
    const told = own.flatMap((claim) => {
      const line = { row: sheet.row(claim, pen), claim }
      const phantom = { row: line.row, claim: { ...claim, of: [] } }
      return random.chance(mess.repeated_lines) ? [line, phantom] : [line]
    })
    const name = `crew/${one.registration}-sheet-${String(number + 1).padStart(2, '0')}`
    if (!mess.resent || told.length < 3) {
      put(office, sheet, `${name}-${compact(last)}.${ending}`, told, fatesOf(told))
      continue
    }
    const { issues } = settings
    const cuts = Array.from({ length: issues }, (_, index) => Math.ceil((told.length * (index + 1)) / issues))
    let sent = 0
    let wrong = 0
    for (const [issue, cut] of cuts.entries()) {
      const day = dayOf(Date.parse(`${last}T00:00:00Z`) / 1000 + (issue - issues + 1) * DAY, 'UTC')
      const final = issue === cuts.length - 1
      let slips = 0
      const lines = told.slice(0, cut).map((line, index): Told => {
        const slip = !final && index >= sent && line.row[volume] !== null && random.chance(mess.corrections)
        if (!slip) return line
        slips++
        return {
          ...line,
          row: { ...line.row, [volume]: `${(line.claim.values.volume_gal as number) + 150}` },
        }
      })
      const changes = { duplicate: sent - wrong, superseded: slips }
      put(office, sheet, `${name}-${compact(day)}.${ending}`, lines, fatesOf(lines, changes))
      sent = cut
      wrong = slips
    }
  }
}

/** Tickets of each base, about a month each; other operators' aircraft load at the bases too, and are unknown here. */
function ticketFiles(office: Office, claims: Claim[]): void {
  const { world, settings, pen, random } = office
  const zones = new Map(world.bases.map((base) => [base.code, base.zone]))
  const sheets = ticketSheets((base) => zones.get(base)!)
  for (const [index, base] of world.bases.entries()) {
    const sheet = sheets[index % sheets.length]!
    const own = claims.filter((claim) => claim.values.base === base.code)
    for (const [part, { last, claims: stretch }] of stretches(world, own, settings.logDays).entries()) {
      const told: Told[] = stretch.map((claim) => ({ row: sheet.row(claim, pen), claim }))
      const strangers = part === 1 && index === 0 ? settings.mess.unknown_aircraft_rows : 0
      for (let count = 0; count < strangers; count++) {
        const claim = { ...random.pick(stretch), aircraft: `N${941 + count}QX`, of: [] }
        const values = {
          ...claim.values,
          ticket: `${base.code.slice(0, 1)}-9${String(count).padStart(4, '0')}`,
        }
        told.push({ row: { ...sheet.row({ ...claim, values }, exact(pen)) }, claim })
      }
      const path = `tickets/${base.code}-${compact(last)}.csv`
      put(office, sheet, path, told, fatesOf(told, { quarantined: strangers }))
    }
  }
}

const exact = (pen: Pen): Pen => ({ ...pen, aircraft: (registration) => registration })

/** The logs as their senders make them, with the profiles that read them. */
export function tradeFiles(
  world: World,
  claims: readonly Claim[],
  settings: Settings,
  random: Random,
): TradeFiles {
  const pen = makePen(settings, random.fork('pen'))
  const out: TradeFiles = { files: [], lines: [] }
  const office: Office = { world, settings, random: random.fork('office'), pen, out }
  const zones = new Map(world.bases.map((base) => [base.code, base.zone]))
  const of = (witness: Claim['witness'], kinds: string, aircraft?: string): Claim[] =>
    claims.filter(
      (claim) =>
        claim.witness === witness && kinds.includes(claim.kind) && (!aircraft || claim.aircraft === aircraft),
    )
  const used = new Set<Sheet>()
  for (const one of world.aircraft) {
    const zone = zones.get(one.home)!
    controllerFiles(office, one, of('controller', 'drop load offload', one.registration))
    crewFiles(office, one, zone, of('crew', 'drop', one.registration))
    used.add(one.controller === 'a' ? controllerA : controllerB)
    used.add(isPacific(zone) ? crewPacific : crewMountain)
  }
  ticketFiles(office, of('ticket', 'load'))
  for (const sheet of ticketSheets(() => 'UTC').slice(0, world.bases.length)) used.add(sheet)
  const logs = { MT: flightLog('MT', 'America/Boise'), PT: flightLog('PT', 'America/Los_Angeles') }
  for (const one of world.aircraft) {
    const sheet = isPacific(zones.get(one.home)!) ? logs.PT : logs.MT
    used.add(sheet)
    for (const { last, claims: own } of stretches(
      world,
      of('crew', 'flight', one.registration),
      settings.logDays,
    )) {
      const told = own.map((claim) => ({ row: sheet.row(claim, pen), claim }))
      put(office, sheet, `flight-logs/${one.registration}-${compact(last)}.csv`, told, fatesOf(told))
    }
  }
  used.add(trackerFlights)
  for (const { last, claims: own } of stretches(world, of('tracker', 'flight'), settings.logDays)) {
    const told = own.map((claim) => ({ row: trackerFlights.row(claim, pen), claim }))
    put(office, trackerFlights, `tracker/flights-${compact(last)}.csv`, told, fatesOf(told))
  }
  out.files.unshift(...[...used].map((sheet) => profileFile(sheet.profile)))
  return out
}
