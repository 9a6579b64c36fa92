import { type Kind, kinds, rowsOfFile, tableName } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { FileList } from './file-list.ts'

const timed = kinds.filter(
  (kind) => kind.time !== null && kind.columns.some((column) => column.name === 'aircraft'),
)
const mayRepeat = (kind: Kind): boolean => kind.family === 'event' && kind.name !== 'position'

interface Flagged {
  /** Null: rows that repeat another of their file. */
  readonly flag: string | null
  readonly finding: string
  readonly severity: 'note' | 'warning'
  readonly message: string
  /** The one kind that can carry the flag; every timed one when not given. */
  readonly kind?: Kind['name']
}

const flagged: readonly Flagged[] = [
  {
    flag: 'no-such-time',
    finding: 'impossible-time',
    severity: 'warning',
    message: 'this local time was skipped when the clocks went forward',
  },
  {
    flag: 'occurs-twice',
    finding: 'ambiguous-time',
    severity: 'note',
    message: 'this local time occurred twice when the clocks went back; the first was taken',
  },
  {
    flag: 'same-key-far-apart',
    finding: 'same-key-far-apart',
    severity: 'warning',
    message: 'the same number was used more than 12 hours away: taken as a new event',
  },
  {
    flag: 'withdrawn',
    finding: 'row-withdrawn',
    severity: 'warning',
    message: 'a later file of the whole series no longer has this row',
  },
  {
    flag: 'missing-later',
    finding: 'row-missing',
    severity: 'note',
    message: 'a later file that repeats its neighbours does not have this row; it stands',
  },
  {
    flag: 'position-exchanged',
    finding: 'position-swapped',
    severity: 'warning',
    message:
      'latitude and longitude stand exchanged: no latitude is beyond 90 degrees; the position was read the other way round',
    kind: 'drop',
  },
  {
    flag: null,
    finding: 'repeated-line',
    severity: 'note',
    message: 'the same line stands more than once in one file: each counts as an event',
  },
]

/** SQL: the file of the row that a finding names as `obs:<number>` (see `lineNumber`). */
const fileOfEvidence = `substr(evidence[1], 5)::BIGINT // ${rowsOfFile}`
const isSame = `o.finding_id = n.finding_id AND (o.happened_at, o.message) IS NOT DISTINCT FROM (n.happened_at, n.message)
  AND o.aircraft IS NOT DISTINCT FROM n.aircraft`

/**
 * Writes the findings that rows themselves give rise to; each names its row. What stands as it should is not written again.
 * @param touched files of which rows came, left or stand otherwise.
 */
export async function writeFindings(warehouse: Warehouse, touched: ReadonlySet<number>): Promise<void> {
  if (touched.size === 0) return
  const files = new FileList(touched)
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE intake_finding AS ${findingsOf(files)};
    CREATE OR REPLACE TEMP TABLE intake_told AS
    SELECT finding_id, happened_at, message, aircraft FROM (SELECT *, ${fileOfEvidence} AS file_no FROM obs.finding) WHERE ${files.own}`)
  const stale = `SELECT finding_id FROM temp.intake_told o ANTI JOIN temp.intake_finding n ON ${isSame}`
  if (Number(await warehouse.value(`SELECT count(*) FROM (${stale})`)) > 0)
    await warehouse.run(`DELETE FROM obs.finding WHERE finding_id IN (${stale})`)
  await warehouse.run(
    `INSERT INTO obs.finding SELECT n.* FROM temp.intake_finding n ANTI JOIN temp.intake_told o ON ${isSame}`,
  )
}

/** Rows of the files that have a flag or repeat another are few: they are gathered, and then asked for each finding. */
function findingsOf(files: FileList): string {
  const rows = timed.map((kind) => {
    const repeats = mayRepeat(kind) ? `occ > 1 AND NOT is_keyed AND fate = 'accepted'` : 'false'
    return `SELECT '${kind.name}' AS kind, obs_no, file_no, line_no, aircraft, "${kind.time}" AS happened_at, fate, flags, ${repeats} AS repeats
      FROM obs.${tableName(kind.name)} WHERE ${files.own} AND (flags IS NOT NULL${repeats === 'false' ? '' : ` OR ${repeats}`})`
  })
  const told = flagged.map(({ flag, finding, severity, message, kind }) => {
    const fate = flag === 'withdrawn' ? 'superseded' : 'accepted'
    const has = flag === null ? 'repeats' : `list_contains(flags, '${flag}') AND fate = '${fate}'`
    return `SELECT *, '${finding}' AS finding, '${severity}' AS severity, '${message}' AS words FROM gathered
      WHERE ${has}${kind === undefined ? '' : ` AND kind = '${kind}'`}`
  })
  return `
    WITH gathered AS MATERIALIZED (${rows.join(' UNION ALL ')})
    SELECT md5(concat_ws('|', finding, obs_no)) AS finding_id, finding, severity, aircraft AS subject, happened_at,
      words || ' (' || kind || ' of ' || aircraft || ', ' || parse_filename(path) || ' line ' || line_no || ')' AS message,
      ['obs:' || obs_no] AS evidence, aircraft, NULL::VARCHAR AS tank
    FROM (${told.join(' UNION ALL ')}) JOIN raw.file USING (file_no)`
}
