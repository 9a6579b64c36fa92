import { join } from 'node:path'
import { type Kind, type KindName, kinds, tableName } from '../kinds/index.ts'
import { isProblem, parseProfile, rawLineAt } from '../sources/index.ts'
import type { Row, Warehouse } from '../warehouse/index.ts'
import { type Fields, type FileRef, type ObservationEvidence, obsName } from './types.ts'

interface Link {
  role: string | null
  score: number | null
  decided_by: string | null
  offset_min: number | null
}

const noLink: Link = { role: null, score: null, decided_by: null, offset_min: null }
const meta = [
  'obs_no',
  'file_no',
  'line_no',
  'rec',
  'profile',
  'witness',
  'source',
  'aircraft_text',
  'flags',
  'ident',
  'occ',
  'key_hash',
  'is_keyed',
  'fate',
  'replaced_by',
]

/** Observations of a kind by number, each with its file, line, cells and the versions it replaced. */
export async function readObservations(
  warehouse: Warehouse,
  kindName: KindName,
  numbers: readonly number[],
  links: ReadonlyMap<number, Link> = new Map(),
): Promise<ObservationEvidence[]> {
  if (numbers.length === 0) return []
  const kind = kinds.find((one) => one.name === kindName)!
  const rows = await warehouse.rows(
    `SELECT * EXCLUDE (ident, key_hash) FROM obs.${tableName(kindName)} WHERE obs_no IN (${numbers.join(', ')}) AND fate <> 'quarantined' ORDER BY obs_no`,
  )
  const found: ObservationEvidence[] = []
  for (const row of rows)
    found.push(await toEvidence(warehouse, kind, row, links.get(Number(row.obs_no)) ?? noLink))
  return found
}

/** The observation with this number, whatever its kind. */
export async function findObservation(
  warehouse: Warehouse,
  obsNo: number,
): Promise<ObservationEvidence | null> {
  for (const kind of kinds) {
    const [found] = await readObservations(warehouse, kind.name, [obsNo])
    if (found) return found
  }
  return null
}

async function toEvidence(
  warehouse: Warehouse,
  kind: Kind,
  row: Row,
  link: Link,
): Promise<ObservationEvidence> {
  const obsNo = Number(row.obs_no)
  const file = await readFile(warehouse, Number(row.file_no))
  const values: Fields = Object.fromEntries(
    Object.entries(row).filter(([name, value]) => !meta.includes(name) && value !== null),
  )
  const rawTime = kind.time ? ((row[kind.time] as string | null) ?? null) : null
  const line = Number(row.line_no)
  const cells = await readCells(warehouse, file.layoutNo, file.ref.file_no, line)
  const older = await warehouse.rows<{ obs_no: number }>(
    `SELECT obs_no FROM obs.${tableName(kind.name)} WHERE replaced_by = ${obsNo} ORDER BY obs_no DESC`,
  )
  return {
    obs: obsName(obsNo),
    obs_no: obsNo,
    kind: kind.name,
    witness: row.witness as string | null,
    source: row.source as string | null,
    profile: String(row.profile),
    ...link,
    raw_time: rawTime,
    common_time:
      rawTime && link.offset_min
        ? new Date(Date.parse(rawTime) - link.offset_min * 60_000).toISOString().replace('.000Z', 'Z')
        : rawTime,
    fate: String(row.fate),
    values,
    file: file.ref,
    line,
    cells,
    raw_line: await rawLine(warehouse, file.ref, line, cells),
    history: await readObservations(
      warehouse,
      kind.name,
      older.map((one) => one.obs_no),
    ),
  }
}

/** The line as it stood in the file, read as its profile says; null where no files are kept. */
async function rawLine(
  warehouse: Warehouse,
  file: FileRef,
  line: number,
  cells: readonly [string, string | null][],
): Promise<string | null> {
  if (!warehouse.folder) return null
  const spec = await warehouse.value<string>(
    'SELECT arg_max(spec, revision) FROM raw.profile WHERE profile = $profile',
    { profile: file.profile },
  )
  const profile = spec === null ? null : parseProfile(spec, 'profile')
  const encoding = profile === null || isProblem(profile) ? null : profile.csv.encoding
  const read = { encoding, cells: cells.map(([, text]) => text) }
  return rawLineAt(join(warehouse.folder, 'files'), file.sha256, line, read).catch(() => null)
}

export async function readFile(
  warehouse: Warehouse,
  fileNo: number,
): Promise<{ ref: FileRef; layoutNo: number | null }> {
  const [row] = await warehouse.rows<FileRef & { layout_no: number | null }>(
    'SELECT file_no, path, sha256, profile, arrived_at, layout_no FROM raw.file WHERE file_no = $file',
    { file: fileNo },
  )
  const { layout_no: layoutNo, ...ref } = row!
  return { ref, layoutNo }
}

/** The cells of one line with their headers, as read. */
export async function readCells(
  warehouse: Warehouse,
  layoutNo: number | null,
  fileNo: number,
  line: number,
): Promise<[string, string | null][]> {
  if (layoutNo === null) return []
  const [layout] = await warehouse.rows<{ header: string[] }>(
    'SELECT header FROM raw.layout WHERE layout_no = $layout',
    { layout: layoutNo },
  )
  const [row] = await warehouse.rows(
    `SELECT * FROM raw.layout_${layoutNo} WHERE file_no = ${fileNo} AND line = ${line}`,
  )
  if (!layout || !row) return []
  return layout.header.map((name, i) => [name, row[`c${i + 1}`] as string | null])
}
