/**
 * `answers.finding`: the findings of these schemas, each with the state that a person gave it. Every room that finds
 * something keeps a table `finding` of the same shape in its own schema; what people set and later files overtook has one of
 * its own in the ledger. Witnesses who write one fire in two ways, by its number and by its name, do not disagree.
 */
export function findingView(schemas: readonly string[]): string {
  const tables = [...schemas.map((schema) => `${schema}.finding`), 'ledger.lapsed']
  const every = tables.map((table) => `SELECT * FROM ${table}`).join(' UNION ALL BY NAME ')
  return `
CREATE OR REPLACE VIEW answers.finding AS
  WITH every AS (${every}),
  said AS (
    SELECT payload ->> 'finding_id' AS finding_id, payload ->> 'state' AS state, made_by, reason, amendment_no
    FROM raw.amendment WHERE action = 'finding-state' AND undone_by IS NULL
    QUALIFY row_number() OVER (PARTITION BY payload ->> 'finding_id' ORDER BY amendment_no DESC) = 1)
  SELECT every.*, coalesce(said.state, 'open') AS state, said.made_by AS state_by, said.reason AS state_reason
  FROM every LEFT JOIN said USING (finding_id)
  WHERE every.finding <> 'fire-disagreement' OR every.subject NOT IN (FROM account.same_fire);
`
}
