import { type Kind, kindOf, kinds, tableName } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'

const timed = kinds.filter(
  (kind) => kind.time !== null && kind.columns.some((column) => column.name === 'aircraft'),
)
const repeatable = timed.filter((kind) => kind.family === 'event' && kind.name !== 'position')

/** Writes the findings that rows themselves give rise to, afresh: each names its row. */
export async function writeFindings(warehouse: Warehouse): Promise<void> {
  await warehouse.run('DELETE FROM obs.finding')
  for (const kind of timed) {
    await byFlag(
      warehouse,
      kind,
      'no-such-time',
      'impossible-time',
      'warning',
      'this local time was skipped when the clocks went forward',
    )
    await byFlag(
      warehouse,
      kind,
      'occurs-twice',
      'ambiguous-time',
      'note',
      'this local time occurred twice when the clocks went back; the first was taken',
    )
    await byFlag(
      warehouse,
      kind,
      'same-key-far-apart',
      'same-key-far-apart',
      'warning',
      'the same number was used more than 12 hours away: taken as a new event',
    )
    await byFlag(
      warehouse,
      kind,
      'withdrawn',
      'row-withdrawn',
      'warning',
      'a later file of the whole series no longer has this row',
    )
    await byFlag(
      warehouse,
      kind,
      'missing-later',
      'row-missing',
      'note',
      'a later file that repeats its neighbours does not have this row; it stands',
    )
  }
  await byFlag(
    warehouse,
    kindOf('drop'),
    'position-exchanged',
    'position-swapped',
    'warning',
    'latitude and longitude stand exchanged: no latitude is beyond 90 degrees; the position was read the other way round',
  )
  for (const kind of repeatable) {
    await warehouse.run(
      insert(
        kind,
        'repeated-line',
        'note',
        'the same line stands more than once in one file: each counts as an event',
        'occ > 1 AND NOT is_keyed',
        `'accepted'`,
      ),
    )
  }
}

async function byFlag(
  warehouse: Warehouse,
  kind: Kind,
  flag: string,
  finding: string,
  severity: string,
  message: string,
): Promise<void> {
  const fates = flag === 'withdrawn' ? `'superseded'` : `'accepted'`
  await warehouse.run(insert(kind, finding, severity, message, `list_contains(flags, '${flag}')`, fates))
}

function insert(
  kind: Kind,
  finding: string,
  severity: string,
  message: string,
  condition: string,
  fates: string,
): string {
  return `
    INSERT INTO obs.finding
    SELECT md5(concat_ws('|', '${finding}', obs_no)), '${finding}', '${severity}', aircraft, "${kind.time}",
      '${message} (${kind.name} of ' || aircraft || ', ' || parse_filename(path) || ' line ' || line_no || ')', ['obs:' || obs_no], aircraft, NULL
    FROM obs.${tableName(kind.name)} JOIN raw.file USING (file_no) WHERE flags IS NOT NULL AND ${condition} AND fate IN (${fates})`.replace(
    condition.startsWith('list') ? '' : 'flags IS NOT NULL AND ',
    '',
  )
}
