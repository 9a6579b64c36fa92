import { type Kind, kinds, tableName } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'

const timed = kinds.filter(
  (kind) => kind.time !== null && kind.columns.some((column) => column.name === 'aircraft'),
)
const repeatable = timed.filter((kind) => kind.family === 'event' && kind.name !== 'position')

interface Flagged {
  readonly flag: string
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
]

/** Writes the findings that rows themselves give rise to, afresh: each names its row. */
export async function writeFindings(warehouse: Warehouse): Promise<void> {
  await warehouse.run('DELETE FROM obs.finding')
  for (const kind of timed) await byFlags(warehouse, kind)
  for (const kind of repeatable) {
    await warehouse.run(
      insert(
        kind,
        `obs.${tableName(kind.name)}`,
        'repeated-line',
        'note',
        'the same line stands more than once in one file: each counts as an event',
        `occ > 1 AND NOT is_keyed AND fate = 'accepted'`,
      ),
    )
  }
}

/** Rows with flags are few: they are gathered once, and then asked flag by flag. */
async function byFlags(warehouse: Warehouse, kind: Kind): Promise<void> {
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE intake_flagged AS
    SELECT obs_no, file_no, line_no, aircraft, "${kind.time}", fate, flags FROM obs.${tableName(kind.name)} WHERE flags IS NOT NULL`)
  if (Number(await warehouse.value('SELECT count(*) FROM temp.intake_flagged')) === 0) return
  for (const one of flagged) {
    if (one.kind !== undefined && one.kind !== kind.name) continue
    const fate = one.flag === 'withdrawn' ? 'superseded' : 'accepted'
    const condition = `list_contains(flags, '${one.flag}') AND fate = '${fate}'`
    await warehouse.run(
      insert(kind, 'temp.intake_flagged', one.finding, one.severity, one.message, condition),
    )
  }
}

function insert(
  kind: Kind,
  rows: string,
  finding: string,
  severity: string,
  message: string,
  condition: string,
): string {
  return `
    INSERT INTO obs.finding
    SELECT md5(concat_ws('|', '${finding}', obs_no)), '${finding}', '${severity}', aircraft, "${kind.time}",
      '${message} (${kind.name} of ' || aircraft || ', ' || parse_filename(path) || ' line ' || line_no || ')', ['obs:' || obs_no], aircraft, NULL
    FROM ${rows} JOIN raw.file USING (file_no) WHERE ${condition}`
}
