import { type Field, fieldsOf, rankSql } from './fields.ts'
import { type EventKind, eventKinds } from './observations.ts'

/** `ledger.claim`: what each observation says about each field of a canonical record; rank 1 is the one taken. */
export const claimView = `
CREATE OR REPLACE VIEW ledger.told_field AS
${eventKinds.map(setFieldsOf).join('\nUNION ALL\n')};

CREATE OR REPLACE VIEW ledger.claim AS
SELECT kind, id, field, obs_no, witness, value,
  row_number() OVER (PARTITION BY kind, id, field ORDER BY precedence, obs_no) AS rank
FROM (
${eventKinds.flatMap((kind) => fieldsOf[kind].map((field) => claimOf(kind, field))).join('\nUNION ALL\n')}
);
`

/** Fields set by people, per observation: the latest amendment of a field that nobody undid. */
function setFieldsOf(kind: EventKind): string {
  return `SELECT '${kind}' AS kind, (payload->>'obs_no')::BIGINT AS obs_no, payload->>'field' AS field,
  last(payload->>'value' ORDER BY amendment_no) AS value
FROM raw.amendment WHERE action = 'set-field' AND undone_by IS NULL AND (payload->>'kind') = '${kind}' GROUP BY ALL`
}

function claimOf(kind: EventKind, field: Field): string {
  const value = field.isTime
    ? `strftime(CASE WHEN s.field IS NULL THEN o.${field.from} - to_microseconds((60000000 * l.offset_min)::BIGINT) ELSE nullif(s.value, '')::TIMESTAMP END, '%Y-%m-%dT%H:%M:%SZ')`
    : `CASE WHEN s.field IS NULL THEN o.${field.from}::VARCHAR ELSE nullif(s.value, '') END`
  const told = field.isTime
    ? `CASE WHEN s.field IS NULL THEN o.${field.from}::VARCHAR ELSE nullif(s.value, '') END`
    : value
  return `SELECT kind, id, '${field.name}' AS field, obs_no, witness, value, precedence FROM (
  SELECT l.kind, l.id, l.obs_no, CASE WHEN s.field IS NULL THEN l.witness ELSE 'manual' END AS witness, ${value} AS value, ${told} AS told,
    CASE WHEN s.field IS NULL THEN ${rankSql(field)} ELSE l.place - 1000 END AS precedence
  FROM ledger.attestation l JOIN obs.${kind} o ON o.obs_no = l.obs_no
  LEFT JOIN ledger.told_field s ON s.kind = '${kind}' AND s.obs_no = l.obs_no AND s.field = '${field.from}'
  WHERE l.kind = '${kind}'${field.fromSummary ? '' : " AND l.role <> 'summary'"}${field.with ? ` AND o.${field.with} IS NOT NULL` : ''}
) WHERE told IS NOT NULL`
}
