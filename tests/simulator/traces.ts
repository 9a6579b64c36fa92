import { fileOf, profileFile, type Row, type SeasonFile } from './files.ts'
import type { Random } from './random.ts'
import { flowFor } from './tank-state.ts'
import type { Events, TrueDrop, TrueTank, World } from './truth.ts'

/** What the trace truly shows, to hold its reading against. */
export interface TraceTruth {
  drop: string
  aircraft: string
  record: string
  tank: string
  volume_gal: number
  /** Seconds from the start of the record at which the flow starts and ends. */
  starts_s: number
  ends_s: number
  evacuation_s: number
  mean_flow_gal_s: number
  peak_flow_gal_s: number
}

const profile = {
  profile: 'release-trace',
  format: 'csv',
  headers: ['tail', 'rec', 't', 'level', 'gs', 'agl', 'door'],
  records: [
    {
      kind: 'trace',
      fields: {
        aircraft: { from: 'tail' },
        record: { from: 'rec' },
        t: { from: 't' },
        level: { from: 'level', unit: 'gal_us' },
        groundspeed: { from: 'gs', unit: 'kt' },
        height: { from: 'agl', unit: 'ft' },
        door_pct: { from: 'door' },
      },
    },
  ],
}

/**
 * Level against time at 10 Hz, with the mean flow that the level set asks for: constant as far as a constant-flow
 * tank goes, or falling with the level (half of it by the end) in a gravity tank, with noise of the level sensor
 * and a slosh after the end.
 */
function traceOf(drop: TrueDrop, tank: TrueTank, random: Random): [TraceTruth, Row[]] {
  const starts = 1.5
  const constant = tank.flow === 'constant'
  const mean = flowFor(tank, drop.coverage_level, drop.groundspeed_kt) * (1 + random.normal(-0.02, 0.04))
  const rate = constant ? mean : mean / 0.75
  const length = drop.volume_gal / mean
  const ends = starts + length
  const released = (t: number): number => {
    const share = Math.min(1, Math.max(0, (t - starts) / length))
    return constant ? drop.volume_gal * share : rate * length * (share - share ** 2 / 4)
  }
  const rows: Row[] = []
  for (let step = 0; step <= (ends + 2) * 10; step++) {
    const t = step / 10
    if (random.chance(0.01)) continue
    const slosh = t > ends ? 0.006 * drop.level_gal * Math.exp(-(t - ends)) * Math.sin(7 * (t - ends)) : 0
    const level = drop.level_gal - released(t) + slosh + random.normal(0, drop.level_gal * 0.004)
    const isOpen = t >= starts && t <= ends
    rows.push({
      tail: drop.aircraft,
      rec: drop.record,
      t,
      level: Number(level.toFixed(1)),
      gs: drop.groundspeed_kt,
      agl: drop.height_ft,
      door: isOpen ? Math.min(100, Math.round((t - starts) * 400)) : 0,
    })
  }
  const truth = {
    drop: drop.id,
    aircraft: drop.aircraft,
    record: drop.record,
    tank: drop.tank,
    volume_gal: drop.volume_gal,
    starts_s: starts,
    ends_s: ends,
    evacuation_s: length,
    mean_flow_gal_s: mean,
    peak_flow_gal_s: rate,
  }
  return [truth, rows]
}

/** Traces of a share of the drops whose controller numbers them uniquely; one file per aircraft. */
export function traceFiles(
  world: World,
  events: Events,
  share: number,
  random: Random,
): { files: SeasonFile[]; truth: TraceTruth[] } {
  if (share === 0) return { files: [], truth: [] }
  const tanks = new Map(world.tanks.map((tank) => [tank.serial, tank]))
  const unique = world.aircraft.filter((one) => one.controller === 'b')
  const truth: TraceTruth[] = []
  const files: SeasonFile[] = [profileFile(profile)]
  for (const { registration } of unique) {
    const all: Row[] = []
    for (const drop of events.drops) {
      if (drop.aircraft !== registration || drop.volume_gal < 100 || !drop.witnesses.includes('controller'))
        continue
      if (!random.chance(share)) continue
      const [one, rows] = traceOf(drop, tanks.get(drop.tank)!, random)
      truth.push(one)
      all.push(...rows)
    }
    if (all.length === 0) continue
    const form = { format: 'csv', headers: profile.headers, gzip: true } as const
    files.push(fileOf(`controller/traces/${registration}-traces.csv.gz`, form, all))
  }
  return { files, truth }
}
