import type { Warehouse } from '../warehouse/index.ts'
import { readDecisions } from './amendments.ts'
import type { Briefing, Hand } from './hand.ts'
import { type AnyHand, openHands, threadsFor } from './hands.ts'
import type { Linked } from './outcome.ts'
import { type Part, partsOf } from './parts.ts'
import { numberNames, readObservations } from './read.ts'
import { fieldsSet, type SetField } from './set-fields.ts'
import { prepareTold } from './told.ts'
import { clearLedger, prepareWriting, writeClocks, writeFindings, writeLedger } from './write.ts'

/** A share is worth the statements that write it from so many observations on. */
const leastOfShare = 30_000
/** So many shares are enough for one to be written while the next ones are worked on. */
const mostShares = 8

/** Who does it and in how many shares: nothing that changes what comes of it. */
export interface Manpower {
  readonly shares?: number
  readonly hands?: (briefing: Briefing) => AnyHand[]
}

/**
 * Everything anew. The aircraft are shared out: hands compare clocks and link events, each in its thread, while this one
 * reads the next share, and then writes those that are done, in order. What comes of it depends neither on the shares nor on the hands.
 * @returns the aircraft
 */
export async function matchAll(
  warehouse: Warehouse,
  { shares, hands: handsFor }: Manpower = {},
): Promise<string[]> {
  const set = await fieldsSet(warehouse)
  await prepareTold(warehouse, set, null)
  const { aircraft, counts, sources } = await numberNames(warehouse)
  const briefing = { sources, decisions: await readDecisions(warehouse) }
  const count = counts.reduce((sum, one) => sum + one, 0)
  const hands = handsFor?.(briefing) ?? openHands(threadsFor(count), briefing)
  try {
    const most = shares ?? Math.min(mostShares, Math.max(1, Math.floor(count / leastOfShare)))
    const parts = partsOf(counts, most)
    await clearLedger(warehouse)
    if (parts.length > 0) await matchParts(warehouse, set, parts, hands)
  } finally {
    await Promise.all(hands.map((hand) => hand.close()))
  }
  return aircraft
}

async function matchParts(
  warehouse: Warehouse,
  set: readonly SetField[],
  parts: readonly Part[],
  hands: readonly AnyHand[],
): Promise<void> {
  const handOf = (part: number): AnyHand => hands[part % hands.length]!
  const hearing: Promise<ReturnType<Hand['hear']>>[] = []
  for (const [part, whose] of parts.entries())
    hearing.push(handOf(part).do('hear', part, await readObservations(warehouse, set, whose)))
  const speakers = (await Promise.all(hearing)).map((one) => one.speakers)
  await Promise.all(hands.map((hand) => hand.do('listen', speakers)))
  const judged = await Promise.all(parts.map((_, part) => handOf(part).do('judge', part)))
  const linked: Promise<Linked>[] = []
  // As far ahead of what is written as there are hands: more would only lie about.
  const askFor = (part: number): void => {
    if (part < parts.length) linked[part] = handOf(part).do('link', part)
  }
  for (let part = 0; part < hands.length; part++) askFor(part)
  const [first, ...others] = judged.map((one) => one.clocks)
  await writeClocks(warehouse, [first!, ...others])
  await prepareWriting(warehouse)
  for (let part = 0; part < parts.length; part++) {
    const outcome = await linked[part]!
    askFor(part + hands.length)
    await writeLedger(warehouse, outcome, part)
  }
  await writeFindings(warehouse)
}
