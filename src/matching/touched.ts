import type { Warehouse } from '../warehouse/index.ts'
import { heirsOf, numbersIn } from './amendments.ts'
import { timeField } from './fields.ts'
import { eventKinds } from './observations.ts'

/** A stretch of one aircraft's raw time in which something changed, seconds since 1970. */
export interface Touched {
  readonly aircraft: string
  readonly from: number
  readonly to: number
  /** Do neighbouring days hang on it? Then a week on either side is judged anew. */
  readonly isFar: boolean
}

export interface Changes {
  readonly touched: Touched[]
  /** Observations named by amendments that are new or newly undone. */
  readonly named: number[]
}

/** What changed since the last run: what intake left in `obs.pending`, and amendments not yet seen. */
export async function changesSince(warehouse: Warehouse): Promise<Changes> {
  const kinds = eventKinds.map((kind) => `'${kind}'`).join(', ')
  const touched = await warehouse.rows<{ aircraft: string; from: number; to: number }>(
    `SELECT aircraft, epoch_ms(min(first_at)) / 1000 AS "from", epoch_ms(max(last_at)) / 1000 AS "to"
     FROM obs.pending WHERE kind IN (${kinds}) AND aircraft IS NOT NULL AND first_at IS NOT NULL
     GROUP BY aircraft, kind, first_at, last_at ORDER BY ALL`,
  )
  const fresh = await warehouse.rows<{ action: string; payload: string }>(
    `SELECT action, payload::VARCHAR AS payload FROM raw.amendment a
     LEFT JOIN ledger.seen_amendment s USING (amendment_no)
     WHERE action IN ('set-field', 'exclude', 'merge', 'split')
       AND (s.amendment_no IS NULL OR s.is_undone <> (a.undone_by IS NOT NULL)) ORDER BY amendment_no`,
  )
  const payloads = fresh.map((row) => JSON.parse(row.payload) as Record<string, unknown>)
  const first = [
    ...new Set(payloads.flatMap((payload) => [...numbersIn(payload.obs), ...numbersIn(payload.obs_no)])),
  ]
  const heirs = await heirsOf(warehouse, first)
  const named = [...new Set([...first, ...heirs.values()])].sort((a, b) => a - b)
  const list = [...touched]
  if (named.length > 0) {
    for (const kind of eventKinds) {
      list.push(
        ...(await warehouse.rows<{ aircraft: string; from: number; to: number }>(
          `SELECT aircraft, epoch_ms(${timeField[kind]}) / 1000 AS "from", epoch_ms(${timeField[kind]}) / 1000 AS "to"
           FROM obs.${kind} WHERE obs_no IN (${named.join(', ')}) ORDER BY obs_no`,
        )),
      )
    }
  }
  list.push(...(await movedTo(payloads, list)))
  return { touched: list.map((one) => ({ ...one, isFar: false })), named }
}

/** Where amendments of an aircraft or a time put an observation. */
async function movedTo(
  payloads: readonly Record<string, unknown>[],
  list: readonly { aircraft: string; from: number; to: number }[],
): Promise<{ aircraft: string; from: number; to: number }[]> {
  const moved: { aircraft: string; from: number; to: number }[] = []
  const aircraft = [
    ...new Set([
      ...list.map((one) => one.aircraft),
      ...payloads.filter((payload) => payload.field === 'aircraft').map((payload) => String(payload.value)),
    ]),
  ]
  const times = payloads
    .filter((payload) => String(payload.field).endsWith('_at'))
    .map((payload) => Date.parse(String(payload.value)) / 1000)
    .filter((time) => Number.isFinite(time))
  const isMoved = payloads.some((payload) => payload.field === 'aircraft') || times.length > 0
  if (!isMoved) return moved
  for (const name of aircraft) {
    for (const time of times) moved.push({ aircraft: name, from: time, to: time })
    for (const one of list) moved.push({ aircraft: name, from: one.from, to: one.to })
  }
  return moved
}

/** The amendments that this run has taken into account. */
export async function markSeen(warehouse: Warehouse): Promise<void> {
  await warehouse.run(`DELETE FROM ledger.seen_amendment;
    INSERT INTO ledger.seen_amendment SELECT amendment_no, undone_by IS NOT NULL FROM raw.amendment
    WHERE action IN ('set-field', 'exclude', 'merge', 'split') ORDER BY amendment_no`)
}
