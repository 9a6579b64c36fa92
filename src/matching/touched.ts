import type { Warehouse } from '../warehouse/index.ts'
import { heirsOf, numbersIn } from './amendments.ts'
import { timeField } from './fields.ts'
import { eventKinds } from './observations.ts'
import { fieldsSet, type SetField } from './set-fields.ts'

/** A stretch of one aircraft's raw time in which something changed, seconds since 1970. */
export interface Touched {
  readonly aircraft: string
  readonly from: number
  readonly to: number
  /** Do neighbouring days hang on it? Then a week on either side is judged anew. */
  readonly isFar: boolean
}

type Stretch = Omit<Touched, 'isFar'>

export interface Changes {
  readonly touched: Touched[]
  /** Observations named by amendments that are new or newly undone. */
  readonly named: number[]
  /** Are there such amendments? */
  readonly isNewlyAmended: boolean
  /** Are there any amendments? */
  readonly hasAmendments: boolean
  /** What people set. */
  readonly set: readonly SetField[]
}

/** What changed since the last run: what intake left in `obs.pending`, and amendments not yet seen. */
export async function changesSince(warehouse: Warehouse): Promise<Changes> {
  const kinds = eventKinds.map((kind) => `'${kind}'`).join(', ')
  const touched = await warehouse.rows<Stretch>(
    `SELECT aircraft, epoch_ms(min(first_at)) / 1000 AS "from", epoch_ms(max(last_at)) / 1000 AS "to"
     FROM obs.pending WHERE kind IN (${kinds}) AND aircraft IS NOT NULL AND first_at IS NOT NULL
     GROUP BY aircraft, kind, first_at, last_at ORDER BY ALL`,
  )
  if ((await warehouse.value('SELECT 1 FROM raw.amendment LIMIT 1')) === null)
    return { ...near(touched), named: [], isNewlyAmended: false, hasAmendments: false, set: [] }
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
        ...(await warehouse.rows<Stretch>(
          `SELECT aircraft, epoch_ms(${timeField[kind]}) / 1000 AS "from", epoch_ms(${timeField[kind]}) / 1000 AS "to"
           FROM obs.${kind} WHERE obs_no IN (${named.join(', ')}) ORDER BY obs_no`,
        )),
      )
    }
  }
  list.push(...(await movedTo(payloads, list)))
  const set = await fieldsSet(warehouse)
  list.push(...(await givenAway(warehouse, set, list)))
  return { ...near(list), named, isNewlyAmended: fresh.length > 0, hasAmendments: true, set }
}

const near = (list: readonly Stretch[]): { touched: Touched[] } => ({
  touched: list.map((one) => ({ ...one, isFar: false })),
})

/** Where touched observations are that a person gave to another aircraft. */
async function givenAway(
  warehouse: Warehouse,
  set: readonly SetField[],
  list: readonly Stretch[],
): Promise<Stretch[]> {
  const given = set.filter(({ field, value }) => field === 'aircraft' && value)
  const moved: Stretch[] = []
  for (const { kind, obs_no, value } of given) {
    const [own] = await warehouse.rows<{ aircraft: string | null; at: number }>(
      `SELECT aircraft, epoch_ms(${timeField[kind]}) / 1000 AS at FROM obs.${kind} WHERE obs_no = ${obs_no}`,
    )
    const isTouched = ({ aircraft, from, to }: Stretch): boolean =>
      aircraft === own?.aircraft && own.at >= from && own.at <= to
    if (!own || !list.some(isTouched)) continue
    const times = set
      .filter((one) => one.obs_no === obs_no && one.kind === kind && one.field === timeField[kind])
      .map((one) => Date.parse(String(one.value)) / 1000)
      .filter((time) => Number.isFinite(time))
    for (const at of [own.at, ...times]) moved.push({ aircraft: value!, from: at, to: at })
  }
  return moved
}

/** Where amendments of an aircraft or a time put an observation. */
async function movedTo(
  payloads: readonly Record<string, unknown>[],
  list: readonly Stretch[],
): Promise<Stretch[]> {
  const moved: Stretch[] = []
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
