import { DAY, HOUR, iso } from './clock.ts'
import { fileOf, type SeasonFile } from './files.ts'
import type { Settings } from './options.ts'
import type { DriftTruth } from './tank-state.ts'
import type { Events, World } from './truth.ts'

/** Night before the first day of that share of the season or later. */
const nightOf = (world: World, share: number): number =>
  world.start + Math.ceil(share * world.days - 1e-9) * DAY + 9 * HOUR

/** What the planned drifts came to, drop by drop. */
export function driftsOf(world: World, settings: Settings, events: Events): DriftTruth[] {
  return settings.drifts.flatMap((plan) => {
    const tank = world.tanks[plan.tank]
    if (!tank) return []
    const drops = events.drops.filter((drop) => drop.tank === tank.serial && drop.commanded_gal !== null)
    const from = nightOf(world, plan.from_share)
    const until = plan.adjusted_share === null ? null : nightOf(world, plan.adjusted_share)
    const before = drops.filter((drop) => drop.at < from)
    const during = drops.filter((drop) => drop.at >= from && (until === null || drop.at < until))
    const { shape, size_pct } = plan
    return {
      tank: tank.serial,
      shape,
      size_pct,
      from_drop: during[0]?.id ?? null,
      from_at: during[0]?.dropped_at ?? null,
      adjusted_at: until === null ? null : iso(until),
      drops: [before.length, during.length, drops.length - before.length - during.length] as [
        number,
        number,
        number,
      ],
    }
  })
}

export function adjustmentFiles(drifts: readonly DriftTruth[]): SeasonFile[] {
  const rows = drifts
    .filter((drift) => drift.adjusted_at !== null)
    .map(({ tank, adjusted_at }) => ({
      tank,
      adjusted_at,
      subject: 'doors',
      before: 'as found',
      after: 'rigged to the book',
      note: 'Door timing set after short lines were reported',
    }))
  if (rows.length === 0) return []
  const headers = ['tank', 'adjusted_at', 'subject', 'before', 'after', 'note']
  return [fileOf('maintenance/adjustment.csv', { format: 'csv', headers }, rows)]
}
