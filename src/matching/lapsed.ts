import type { Warehouse } from '../warehouse/index.ts'
import { timeField } from './fields.ts'
import { type EventKind, eventKinds } from './observations.ts'
import { fieldsSet } from './set-fields.ts'

/**
 * Writes `ledger.lapsed`: a finding for each field that a person set on a line that stands no more, where what stands for
 * the line now neither says the same nor was set by a person itself. What its sender wrote since holds: a person must look
 * at which of the two is right.
 */
export async function writeLapsed(warehouse: Warehouse): Promise<void> {
  await warehouse.run('DELETE FROM ledger.lapsed')
  const set = await fieldsSet(warehouse)
  for (const kind of eventKinds) {
    const own = set.filter((item) => item.kind === kind).map((item) => item.obs_no)
    const lost = own.length === 0 ? [] : await lostAmong(warehouse, kind, [...new Set(own)])
    if (lost.length > 0) await warehouse.run(lapsedSql(kind, lost))
  }
}

interface Lost {
  readonly obs_no: number
  /** What replaced it, in the end; null when nothing did. */
  heir: number | null
}

async function lostAmong(warehouse: Warehouse, kind: EventKind, numbers: readonly number[]): Promise<Lost[]> {
  const replaced = (among: readonly number[]) =>
    warehouse.rows<{ obs_no: number; replaced_by: number | null }>(
      `SELECT obs_no, replaced_by FROM obs.${kind} WHERE obs_no IN (${among.join(', ')}) AND fate = 'superseded' ORDER BY obs_no`,
    )
  const lost: Lost[] = (await replaced(numbers)).map((row) => ({ obs_no: row.obs_no, heir: row.replaced_by }))
  for (;;) {
    const heirs = lost.flatMap(({ heir }) => (heir === null ? [] : [heir]))
    const next = new Map(
      heirs.length === 0 ? [] : (await replaced(heirs)).map((row) => [row.obs_no, row.replaced_by]),
    )
    if (next.size === 0) return lost
    for (const one of lost) if (one.heir !== null && next.has(one.heir)) one.heir = next.get(one.heir)!
  }
}

function lapsedSql(kind: EventKind, lost: readonly Lost[]): string {
  const heirs = lost.map(({ obs_no, heir }) => `(${obs_no}::BIGINT, ${heir ?? 'NULL'}::BIGINT)`).join(', ')
  const numbers = lost.flatMap(({ obs_no, heir }) => (heir === null ? [obs_no] : [obs_no, heir])).join(', ')
  return `INSERT INTO ledger.lapsed
WITH heir(obs_no, now_no) AS (VALUES ${heirs}),
row AS MATERIALIZED (SELECT * FROM obs.${kind} WHERE obs_no IN (${numbers})),
said AS (
  SELECT t.obs_no, t.field, t.value, l.aircraft, l.${timeField[kind]} AS happened_at, o.obs_no AS now_no,
    CASE WHEN o.obs_no IS NOT NULL THEN to_json(o) ->> t.field END AS says, s.obs_no IS NOT NULL AS is_set
  FROM heir h JOIN row l ON l.obs_no = h.obs_no
  JOIN ledger.told_field t ON t.kind = '${kind}' AND t.obs_no = h.obs_no
  LEFT JOIN row o ON o.obs_no = h.now_no AND o.fate = 'accepted'
  LEFT JOIN ledger.told_field s ON s.kind = '${kind}' AND s.obs_no = o.obs_no AND s.field = t.field),
open AS (
  FROM said WHERE now_no IS NULL OR NOT (is_set OR says IS NOT DISTINCT FROM nullif(value, '')
    OR coalesce(TRY_CAST(says AS DOUBLE) = TRY_CAST(value AS DOUBLE), false)
    OR coalesce(TRY_CAST(says AS TIMESTAMP) = TRY_CAST(value AS TIMESTAMP), false)))
SELECT md5(concat_ws('|', 'amendment-lapsed', obs_no, field)), 'amendment-lapsed', 'warning', aircraft || ' ' || field, happened_at,
  format('{} was set to {} by a person, and then a later file {}', field, coalesce(nullif(value, ''), 'nothing'),
    CASE WHEN now_no IS NULL THEN 'withdrew the line: look whether it should, and undo the amendment'
      ELSE format('replaced the line, with {}; what was set holds no more: set it again, or undo the amendment',
        coalesce(says, 'nothing')) END),
  list_filter(['obs:' || obs_no, 'obs:' || now_no], e -> e IS NOT NULL), aircraft, NULL
FROM open ORDER BY obs_no, field`
}
