import { type ClockBook, written } from './clock-book.ts'
import type { Settings } from './options.ts'
import type { Random } from './random.ts'
import type { Events, TrueDrop, TrueFire, TrueLoad, Witness, World } from './truth.ts'

export type Told = string | number | null

/** One witness's telling of one event, under canonical names; times are seconds since 1970 by its own clock. */
export interface Claim {
  kind: 'drop' | 'load' | 'offload' | 'flight'
  witness: Witness
  /** Registration in truth; what gets written may be sloppier. */
  aircraft: string
  /** When it truly happened: the order in which it was written. */
  happened: number
  day: string
  /** Ids of the true events that it tells of; none for an event that never was. */
  of: string[]
  times: Record<string, number>
  values: Record<string, Told>
}

interface Desk {
  world: World
  events: Events
  settings: Settings
  book: ClockBook
  random: Random
}

/** What every witness says of the season; marks in the events who spoke of them. */
export function claimsOf(desk: Desk): Claim[] {
  return [...controllerClaims(desk), ...crewClaims(desk), ...ticketClaims(desk), ...flightClaims(desk)]
}

const noisy = (value: number, pct: number, random: Random): number =>
  pct > 0 ? Math.max(0, Math.round(value * (1 + random.normal(0, pct / 100)))) : value

/** Says whether the witness wrote the event down, and marks it if so. */
function heard(desk: Desk, random: Random, witness: Witness, event: { witnesses: Witness[] }): boolean {
  if (unwritten.has(event)) return false
  if (random.chance(desk.settings.mess.missing[witness] ?? 0)) return false
  if (!event.witnesses.includes(witness)) event.witnesses.push(witness)
  return true
}

/** Releases that nobody wrote down. */
const unwritten = new WeakSet<object>()

/** Picks fire drops of at least a fifth of the tank that no witness will mention, and full loads that ran over. */
export function plantOddities(desk: Desk): void {
  const capacity = new Map(desk.world.tanks.map((tank) => [tank.serial, tank.capacity_gal]))
  const big = desk.events.drops.filter(
    (drop) => drop.purpose === 'fire' && drop.volume_gal > capacity.get(drop.tank)! * 0.2,
  )
  const chosen = desk.random.fork('hidden').shuffle(big).slice(0, desk.settings.mess.unrecorded_releases)
  for (const drop of chosen) unwritten.add(drop)
  const full = desk.events.loads.filter((load) => load.gauge_after_gal >= capacity.get(load.tank)!)
  for (const load of desk.random.fork('overfilled').shuffle(full).slice(0, desk.settings.mess.overfills))
    load.overflow = true
}

function controllerClaims(desk: Desk): Claim[] {
  const { events, settings, book } = desk
  const random = desk.random.fork('controller')
  const { gauge_noise_pct, wild_values } = settings.mess
  const claims: Claim[] = []
  const base = { witness: 'controller' as const }
  for (const load of events.loads) {
    if (!heard(desk, random, 'controller', load)) continue
    const before = noisy(load.gauge_before_gal, gauge_noise_pct, random)
    const after = noisy(load.gauge_after_gal, gauge_noise_pct, random)
    claims.push({
      ...base,
      kind: 'load',
      aircraft: load.aircraft,
      happened: load.at,
      day: load.day,
      of: [load.id],
      times: { loaded_at: written(book, settings, 'controller', load) },
      values: {
        volume_gal: Math.max(0, after - before),
        gauge_before_gal: before,
        gauge_after_gal: after,
        target_gal: load.target_gal,
        overflow: load.overflow ? 'yes' : null,
        record: load.record,
      },
    })
  }
  for (const drop of events.drops) {
    if (!heard(desk, random, 'controller', drop)) continue
    const volume = noisy(drop.volume_gal, gauge_noise_pct, random)
    const flies = drop.purpose !== 'ground-test'
    claims.push({
      ...base,
      kind: 'drop',
      aircraft: drop.aircraft,
      happened: drop.at,
      day: drop.day,
      of: [drop.id],
      times: { dropped_at: written(book, settings, 'controller', drop) },
      values: {
        volume_gal: wild_values > 0 && random.chance(wild_values) ? volume * 10 : volume,
        commanded_gal: drop.commanded_gal,
        coverage_level: drop.coverage_level,
        fraction: null,
        purpose: drop.purpose === 'emergency' || !flies ? drop.purpose : null,
        doors: drop.doors.join(';'),
        openings: drop.openings,
        latitude: flies ? drop.latitude : null,
        longitude: flies ? drop.longitude : null,
        height_ft: flies ? drop.height_ft : null,
        groundspeed_kt: flies ? drop.groundspeed_kt : null,
        duration_s: drop.duration_s,
        record: drop.record,
      },
    })
  }
  for (const offload of events.offloads) {
    if (!heard(desk, random, 'controller', offload)) continue
    claims.push({
      ...base,
      kind: 'offload',
      aircraft: offload.aircraft,
      happened: offload.at,
      day: offload.day,
      of: [offload.id],
      times: { offloaded_at: written(book, settings, 'controller', offload) },
      values: { volume_gal: noisy(offload.volume_gal, gauge_noise_pct, random), record: offload.record },
    })
  }
  return claims
}

/** Lines of the crews' drop sheets. A crew may write one line for all the drops of a load on one fire. */
function crewClaims(desk: Desk): Claim[] {
  const { events, settings, world } = desk
  const random = desk.random.fork('crew')
  const { mess } = settings
  const fires = new Map(world.fires.map((fire) => [fire.number, fire]))
  const claims: Claim[] = []
  const tell = (drops: TrueDrop[]): void => {
    const first = drops[0]!
    const volume = drops.reduce((sum, drop) => sum + drop.volume_gal, 0)
    const rounded =
      mess.round_gal > 0
        ? Math.max(mess.round_gal, Math.round(volume / mess.round_gal) * mess.round_gal)
        : volume
    const fraction = Math.min(
      1,
      drops.reduce((sum, drop) => sum + (drop.fraction ?? 0), 0),
    )
    const blank = (): boolean => mess.blanks > 0 && random.chance(mess.blanks)
    claims.push({
      kind: 'drop',
      witness: 'crew',
      aircraft: first.aircraft,
      happened: first.at,
      day: first.day,
      of: drops.map((drop) => drop.id),
      times: { dropped_at: written(desk.book, settings, 'crew', first) },
      values: {
        volume_gal: blank() && fraction > 0 ? null : rounded,
        coverage_level: first.coverage_level,
        fraction: fraction > 0 ? fraction : null,
        fluid: blank() ? null : first.fluid,
        purpose: blank() && first.purpose === 'fire' ? null : first.purpose,
        fire:
          first.fire && first.fire_stated
            ? nameFire(fires.get(first.fire)!, random, mess.misspelt_fires)
            : null,
        ...(blank() ? {} : { latitude: first.latitude, longitude: first.longitude }),
      },
    })
  }
  for (const drops of runsOfLoad(events.drops)) {
    const flown = drops.filter((drop) => drop.purpose !== 'ground-test')
    const fire = flown.filter((drop) => drop.purpose === 'fire')
    const summed = fire.length > 1 && fire.length === flown.length && random.chance(mess.crew_sums)
    const wrote = flown.filter((drop) => heard(desk, random, 'crew', drop))
    if (summed && wrote.length === flown.length) tell(wrote)
    else for (const drop of wrote) tell([drop])
  }
  return claims
}

/** Consecutive drops of one load. */
function runsOfLoad(drops: TrueDrop[]): TrueDrop[][] {
  const runs = new Map<string, TrueDrop[]>()
  for (const drop of drops) {
    const key = drop.load ?? drop.id
    const run = runs.get(key)
    if (run) run.push(drop)
    else runs.set(key, [drop])
  }
  return [...runs.values()]
}

/** A fire as a crew writes it: its number, its name, an alias, or a name with one slip of the pen. */
function nameFire(fire: TrueFire, random: Random, misspelt: number): string {
  const chosen = random.pick([fire.number, fire.name, fire.name, ...fire.aliases])
  if (!random.chance(misspelt)) return chosen
  const name = fire.name
  const at = random.whole(1, name.length - 3)
  const slip = random.whole(0, 2)
  if (slip === 0) return name.slice(0, at) + name.slice(at + 1)
  if (slip === 1) return name.slice(0, at) + name[at + 1] + name[at] + name.slice(at + 2)
  return name.slice(0, at) + name[at] + name.slice(at)
}

function ticketClaims(desk: Desk): Claim[] {
  const { events, settings, book, world } = desk
  const random = desk.random.fork('ticket')
  const factors = new Map(world.bases.map((base) => [base.code, base.meter_factor]))
  const claims: Claim[] = []
  const loads = events.loads.filter((load: TrueLoad) => heard(desk, random, 'ticket', load))
  for (const load of loads) {
    const started = written(book, settings, 'ticket', { ...load, at: load.started })
    const metered = noisy(load.volume_gal * factors.get(load.base)!, settings.mess.ticket_noise_pct, random)
    claims.push({
      kind: 'load',
      witness: 'ticket',
      aircraft: load.aircraft,
      happened: load.at,
      day: load.day,
      of: [load.id],
      times: { started_at: started, loaded_at: written(book, settings, 'ticket', load) },
      values: {
        base: load.base,
        ticket: load.ticket,
        volume_gal: factors.get(load.base) === 1 ? metered : Math.round(metered),
        target_gal: load.target_gal,
        overflow: load.overflow ? 'yes' : 'no',
        fluid: load.fluid,
      },
    })
  }
  return claims
}

/** Flights by the tracker and by the crew's flight log. */
function flightClaims(desk: Desk): Claim[] {
  const { events, settings, book } = desk
  const claims: Claim[] = []
  for (const witness of ['tracker', 'crew'] as const) {
    const random = desk.random.fork(`flights ${witness}`)
    for (const flight of events.flights) {
      if (!heard(desk, random, witness, flight)) continue
      const { aircraft, day, off, on } = flight
      const crew = witness === 'crew'
      claims.push({
        kind: 'flight',
        witness,
        aircraft,
        happened: off,
        day,
        of: [flight.id],
        times: {
          off_at: written(book, settings, witness, { aircraft, day, at: off }),
          on_at: written(book, settings, witness, { aircraft, day, at: on }),
        },
        values: {
          hours: crew ? Math.round((flight.airborne_hours + 1e-9) * 10) / 10 : null,
          from_base: flight.from_base,
          to_base: flight.to_base,
        },
      })
    }
  }
  return claims
}
