import type { Warehouse } from '../warehouse/index.ts'
import { noDecisions, readDecisions } from './amendments.ts'
import { hearClocks } from './clock-judgement.ts'
import { clockRows } from './clock-rows.ts'
import { writeLapsed } from './lapsed.ts'
import { linkAll } from './link.ts'
import { isWithin, longestBlock, reachesOf, writeReaches } from './reach.ts'
import { numberNames, readObservations } from './read.ts'
import { removeOld } from './removal.ts'
import { prepareTold } from './told.ts'
import { changesSince, markSeen } from './touched.ts'
import { judgeTouched } from './touched-clocks.ts'
import { matchAll } from './whole.ts'
import {
  dropWorkingTables,
  prepareWriting,
  removeClocks,
  writeClocks,
  writeFindings,
  writeLedger,
} from './write.ts'

/** `all`: everything anew. Otherwise what changed since the last run, and these aircraft wholly. */
export type MatchScope = 'all' | { readonly aircraft?: readonly string[] }

/**
 * Turns accepted observations into canonical records of `ledger`, each event once, with links to all who attest it.
 * What a run leaves does not depend on what earlier runs left: only on the observations and amendments on record.
 * @returns the aircraft whose records were computed anew, and since when (raw time, seconds since 1970).
 */
export async function match(
  warehouse: Warehouse,
  scope: MatchScope = {},
): Promise<{ aircraft: string[]; from_s: number }> {
  return warehouse.transaction(async () => {
    const isNew = (await warehouse.value('SELECT 1 FROM ledger.attestation LIMIT 1')) === null
    const isWhole = scope === 'all' || isNew
    if (isWhole) await markSeen(warehouse)
    const made = isWhole
      ? { aircraft: await matchAll(warehouse), from_s: Number.NEGATIVE_INFINITY }
      : await matchTouched(warehouse, scope.aircraft ?? [])
    await writeLapsed(warehouse)
    await dropWorkingTables(warehouse)
    return made
  })
}

async function matchTouched(
  warehouse: Warehouse,
  wholly: readonly string[],
): Promise<{ aircraft: string[]; from_s: number }> {
  const changes = await changesSince(warehouse)
  if (changes.isNewlyAmended) await markSeen(warehouse)
  const { set } = changes
  const decisions = changes.hasAmendments ? await readDecisions(warehouse) : noDecisions
  const whole = new Set(wholly)
  let touched = changes.touched
  if (touched.length === 0 && whole.size === 0) return { aircraft: [], from_s: Number.POSITIVE_INFINITY }
  for (;;) {
    const reached = reachesOf(touched, whole)
    await writeReaches(warehouse, reached)
    await prepareTold(warehouse, set, reached)
    const { aircraft, counts, sources } = await numberNames(warehouse)
    const count = counts.reduce((sum, one) => sum + one, 0)
    const o = await readObservations(warehouse, set, { from: 0, to: aircraft.length, count })
    const heard = hearClocks(o, sources)
    const long = heard
      .flatMap((one) => one.blocks)
      .filter((block) => block.end - block.start > longestBlock)
      .map((block) => aircraft[block.aircraft]!)
      .filter((name) => !whole.has(name))
    for (const name of long) whole.add(name)
    if (long.length > 0) continue
    const { clocks, offsets, more } = await judgeTouched(warehouse, o, heard, sources, {
      touched,
      reached,
      aircraft,
    })
    if (more.length > 0) {
      touched = [...touched, ...more]
      continue
    }
    const isTouched = (index: number): boolean =>
      isWithin(reached.get(aircraft[o.aircraft[index]!]!) ?? [], 'match', o.start[index]!, o.end[index]!)
    const outcome = linkAll(o, clocks, offsets, sources, decisions, isTouched).filled()
    const left = await removeOld(warehouse, outcome, changes.named, set, reached)
    if (left.length > 0) {
      if (left.every((name) => whole.has(name)))
        throw new Error(`records of ${left.join(', ')} hang on nothing`)
      for (const name of left) whole.add(name)
      continue
    }
    const judged = clocks.flatMap((clock, index) =>
      isWithin(
        reached.get(aircraft[clock.block.aircraft]!) ?? [],
        'clock',
        clock.block.start,
        clock.block.end,
      )
        ? [index]
        : [],
    )
    await removeClocks(warehouse, reached)
    const rows = clockRows(
      judged.map((index) => clocks[index]!),
      judged.map((index) => offsets[index]!),
    )
    await writeClocks(warehouse, [rows.filled()])
    await prepareWriting(warehouse)
    await writeLedger(warehouse, outcome)
    await writeFindings(warehouse)
    return {
      aircraft: [...reached.keys()].sort(),
      from_s: Math.min(...[...reached.values()].flat().map((reach) => reach.loadFrom)),
    }
  }
}
