import { timeField } from './fields.ts'
import { type EventKind, eventKinds } from './observations.ts'

const ofEvery = (part: (kind: EventKind) => string): string => eventKinds.map(part).join('\nUNION ALL\n')

/**
 * `ledger.lapsed`: a finding for each field that a person set on a line that stands no more, where what stands for the
 * line now neither says the same nor was set by a person itself. What its sender wrote since holds: a person must look
 * at which of the two is right.
 */
export const lapsedView = `
CREATE OR REPLACE VIEW ledger.lapsed AS
WITH RECURSIVE lost AS MATERIALIZED (
${ofEvery(
  (
    kind,
  ) => `SELECT t.kind, t.obs_no, t.field, t.value, o.aircraft, o.${timeField[kind]} AS happened_at, o.replaced_by
FROM obs.${kind} o JOIN ledger.told_field t ON t.kind = '${kind}' AND t.obs_no = o.obs_no WHERE o.fate = 'superseded'`,
)}),
heir AS (
  SELECT kind, obs_no, field, value, replaced_by AS now_no FROM lost WHERE replaced_by IS NOT NULL
  UNION
  SELECT h.kind, h.obs_no, h.field, h.value, r.replaced_by FROM heir h JOIN (
${ofEvery((kind) => `SELECT '${kind}' AS kind, obs_no, replaced_by FROM obs.${kind} WHERE replaced_by IS NOT NULL`)}
  ) r ON r.kind = h.kind AND r.obs_no = h.now_no),
said AS (
${ofEvery(
  (kind) => `SELECT h.kind, h.obs_no, h.field, h.value, h.now_no, to_json(o) ->> h.field AS says
FROM obs.${kind} o JOIN heir h ON h.kind = '${kind}' AND h.now_no = o.obs_no WHERE o.fate = 'accepted'`,
)}),
now AS (
  SELECT s.kind, s.obs_no, s.field, s.now_no, s.says, s.says IS NOT DISTINCT FROM nullif(s.value, '')
    OR coalesce(TRY_CAST(s.says AS DOUBLE) = TRY_CAST(s.value AS DOUBLE), false)
    OR coalesce(TRY_CAST(s.says AS TIMESTAMP) = TRY_CAST(s.value AS TIMESTAMP), false) OR t.obs_no IS NOT NULL AS is_settled
  FROM said s LEFT JOIN ledger.told_field t ON t.kind = s.kind AND t.obs_no = s.now_no AND t.field = s.field)
SELECT md5(concat_ws('|', 'amendment-lapsed', l.obs_no, l.field)) AS finding_id, 'amendment-lapsed' AS finding, 'warning' AS severity,
  l.aircraft || ' ' || l.field AS subject, l.happened_at,
  format('{} was set to {} by a person, and then a later file {}', l.field, coalesce(nullif(l.value, ''), 'nothing'),
    CASE WHEN n.now_no IS NULL THEN 'withdrew the line: look whether it should, and undo the amendment'
      ELSE format('replaced the line, with {}; what was set holds no more: set it again, or undo the amendment',
        coalesce(n.says, 'nothing')) END) AS message,
  list_filter(['obs:' || l.obs_no, 'obs:' || n.now_no], e -> e IS NOT NULL) AS evidence, l.aircraft, NULL::VARCHAR AS tank
FROM lost l LEFT JOIN now n USING (kind, obs_no, field) WHERE n.is_settled IS DISTINCT FROM true;
`
