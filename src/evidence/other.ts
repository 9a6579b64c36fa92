import { basename } from 'node:path'
import type { Warehouse } from '../warehouse/index.ts'
import { findObservation } from './observations.ts'
import { amendmentsOf, findingsOf } from './record.ts'
import { type Evidence, obsNumber, type Related } from './types.ts'

/** One observation by its number or its `file-line` name. */
export async function observationEvidence(warehouse: Warehouse, id: string): Promise<Evidence | null> {
  const number = obsNumber(id)
  const found = number === null ? null : await findObservation(warehouse, number)
  if (!found) return null
  const links = await warehouse.rows<{ kind: string; id: string }>(
    'SELECT DISTINCT kind, id FROM ledger.link WHERE obs_no = $number ORDER BY kind, id',
    { number },
  )
  return {
    kind: 'obs',
    id: found.obs,
    title: `${found.kind} row, line ${found.line} of ${basename(found.file.path)}`,
    record: found.values,
    claims: [],
    observations: [found],
    amendments: await amendmentsOf(warehouse, [found.obs_no]),
    related: links.map((link) => ({ ...link, label: `${link.kind} ${link.id}` })),
    findings: await findingsOf(warehouse, [`obs:${found.obs_no}`]),
  }
}

/** One arrival: what it was taken for and what became of its rows. `id` is its number or its path. */
export async function fileEvidence(warehouse: Warehouse, id: string): Promise<Evidence | null> {
  const [file] = await warehouse.rows(
    'SELECT * FROM raw.file WHERE file_no::VARCHAR = $id OR path = $id ORDER BY file_no DESC LIMIT 1',
    { id },
  )
  if (!file) return null
  const quarantined = await warehouse.rows<{
    line: number
    field: string | null
    text: string | null
    reason: string
    settled: string | null
  }>(
    `SELECT q.line, q.field, q.text, q.reason, CASE WHEN l.path IS NOT NULL THEN 'mended in ' || l.path
       WHEN a.amendment_no IS NOT NULL THEN concat('set aside by ', a.made_by, ': ', a.reason, ' (amendment ', a.amendment_no, ')') END AS settled
     FROM obs.quarantine q LEFT JOIN obs.corrected c ON c.file_no = q.file_no AND c.line = q.line
     LEFT JOIN raw.file l ON l.file_no = c.by_file LEFT JOIN raw.amendment a ON a.amendment_no = c.by_amendment
     WHERE q.file_no = $file ORDER BY q.line LIMIT 200`,
    { file: Number(file.file_no) },
  )
  return {
    kind: 'file',
    id: String(file.file_no),
    title: `file ${file.file_no}: ${file.path}`,
    record: file,
    claims: [],
    observations: [],
    amendments: [],
    related: [],
    findings: quarantined.map((row) => ({
      finding_id: `${file.file_no}:${row.line}`,
      finding: 'quarantined',
      severity: 'warning',
      message: `line ${row.line}${row.field ? `, ${row.field}` : ''}${row.text ? ` “${row.text}”` : ''}: ${row.reason}${row.settled === null ? '' : `; ${row.settled}`}`,
      state: row.settled === null ? null : 'resolved',
    })),
  }
}

/** One finding with the records and rows that it names. */
export async function findingEvidence(warehouse: Warehouse, id: string): Promise<Evidence | null> {
  const [finding] = await warehouse.rows<
    Record<string, never> & { evidence: string[]; finding: string; subject: string }
  >('SELECT * FROM answers.finding WHERE finding_id = $id', { id })
  if (!finding) return null
  const references = (finding.evidence ?? []).map((text) => ({
    kind: text.slice(0, text.indexOf(':')),
    id: text.slice(text.indexOf(':') + 1),
  }))
  const observations = []
  for (const reference of references.filter((one) => one.kind === 'obs').slice(0, 50)) {
    const found = await findObservation(warehouse, obsNumber(reference.id) ?? -1)
    if (found) observations.push(found)
  }
  const related: Related[] = references
    .filter((one) => one.kind !== 'obs')
    .map((one) => ({ ...one, label: `${one.kind} ${one.id}` }))
  return {
    kind: 'finding',
    id,
    title: `${finding.finding}: ${finding.subject}`,
    record: finding,
    claims: [],
    observations,
    amendments: [],
    related,
    findings: [],
  }
}
