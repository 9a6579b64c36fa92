/** One typed row as the fold sees it. */
export interface FoldRow {
  readonly obs: number
  readonly file: number
  readonly line: number
  /** Hash of the typed content. */
  readonly ident: string
  /** Hash of the record key, or of source, aircraft and minute. */
  readonly key: string
  readonly isKeyed: boolean
  /** Milliseconds since 1970; NaN for kinds without a time. */
  readonly at: number
}

export type Fate = 'accepted' | 'duplicate' | 'superseded'

export interface Folded {
  readonly fates: Map<number, { fate: Fate; replacedBy: number | null }>
  /** Rows of an earlier file that a later whole file no longer has. */
  readonly withdrawn: { obs: number; byFile: number }[]
  /** Rows whose key was used before, more than 12 hours away. */
  readonly farApart: number[]
}

const twelveHours = 12 * 3600 * 1000

/**
 * Plays arrivals in order and says what became of each row.
 *
 * A row that stands already is a duplicate. A row with the key of a standing row and other content replaces it. A row
 * without a key replaces a standing row of the same source, aircraft and minute, but only one that the new file does
 * not have itself. A whole file also replaces, in line order, what it no longer has within its span of time, and
 * withdraws the rest.
 *
 * @param rows in order of file and line.
 * @param isWhole whether a file is the whole of its series, and which earlier files are of that series.
 */
export function foldArrivals(rows: readonly FoldRow[], isWhole: (file: number) => boolean): Folded {
  const standing = new Map<number, FoldRow>()
  const folded: Folded = { fates: new Map(), withdrawn: [], farApart: [] }
  for (const file of filesOf(rows)) foldFile(file, standing, folded, isWhole(file[0]!.file))
  return folded
}

function filesOf(rows: readonly FoldRow[]): FoldRow[][] {
  const files: FoldRow[][] = []
  for (const row of rows) {
    const last = files.at(-1)
    if (last && last[0]!.file === row.file) last.push(row)
    else files.push([row])
  }
  return files
}

function foldFile(
  rows: readonly FoldRow[],
  standing: Map<number, FoldRow>,
  folded: Folded,
  whole: boolean,
): void {
  const byIdent = index(standing, (row) => row.ident)
  const byKey = index(standing, (row) => row.key)
  const paired = new Set<number>()
  const sharesRowsOf = new Set<number>()
  const left: FoldRow[] = []
  const seenKeyed = new Map<string, FoldRow>()
  for (const row of rows) {
    const same = byIdent.get(row.ident)?.find((old) => !paired.has(old.obs))
    const repeat = row.isKeyed ? seenKeyed.get(row.ident) : undefined
    if (repeat) folded.fates.set(row.obs, { fate: 'duplicate', replacedBy: null })
    else if (same) {
      paired.add(same.obs)
      sharesRowsOf.add(same.file)
      folded.fates.set(row.obs, { fate: 'duplicate', replacedBy: null })
    } else left.push(row)
    if (row.isKeyed) seenKeyed.set(row.ident, row)
  }
  const replace = (old: FoldRow, row: FoldRow) => {
    paired.add(old.obs)
    standing.delete(old.obs)
    folded.fates.set(old.obs, { fate: 'superseded', replacedBy: row.obs })
    accept(row)
  }
  const accept = (row: FoldRow) => {
    standing.set(row.obs, row)
    folded.fates.set(row.obs, { fate: 'accepted', replacedBy: null })
  }
  const fresh: FoldRow[] = []
  const ownByKey = new Map<string, FoldRow[]>()
  for (const row of left) {
    const own = row.isKeyed ? ownByKey.get(row.key) : undefined
    const known = [...(own ?? []), ...(byKey.get(row.key) ?? [])]
    const old = known.find(
      (candidate) =>
        standing.has(candidate.obs) && (row.isKeyed || !paired.has(candidate.obs)) && isNear(candidate, row),
    )
    if (old) replace(old, row)
    else {
      if (row.isKeyed && known.some((candidate) => standing.has(candidate.obs))) folded.farApart.push(row.obs)
      fresh.push(row)
      if (row.isKeyed) accept(row)
    }
    if (row.isKeyed) ownByKey.set(row.key, [row, ...(own ?? [])])
  }
  const unpaired = whole ? absent(rows, standing, paired, sharesRowsOf) : []
  const candidates = fresh.filter((row) => unpaired.length > 0 && inSpan(row, rows))
  for (const old of unpaired) {
    const row = candidates.shift()
    if (row) replace(old, row)
    else {
      standing.delete(old.obs)
      folded.fates.set(old.obs, { fate: 'superseded', replacedBy: null })
      folded.withdrawn.push({ obs: old.obs, byFile: rows[0]!.file })
    }
  }
  for (const row of fresh) if (!standing.has(row.obs)) accept(row)
}

function isNear(old: FoldRow, row: FoldRow): boolean {
  return Number.isNaN(old.at) || Number.isNaN(row.at) || Math.abs(old.at - row.at) <= twelveHours
}

/** Standing rows of earlier files of the series, inside the time span of this file and absent from it, in line order. */
function absent(
  rows: readonly FoldRow[],
  standing: Map<number, FoldRow>,
  paired: Set<number>,
  series: Set<number>,
): FoldRow[] {
  const own = rows[0]!.file
  return [...standing.values()]
    .filter((old) => old.file !== own && series.has(old.file) && !paired.has(old.obs) && inSpan(old, rows))
    .sort((a, b) => a.file - b.file || a.line - b.line)
}

function inSpan(row: FoldRow, rows: readonly FoldRow[]): boolean {
  let first = Number.POSITIVE_INFINITY
  let last = Number.NEGATIVE_INFINITY
  for (const one of rows) {
    if (one.at < first) first = one.at
    if (one.at > last) last = one.at
  }
  return row.at >= first && row.at <= last
}

function index(standing: Map<number, FoldRow>, key: (row: FoldRow) => string): Map<string, FoldRow[]> {
  const map = new Map<string, FoldRow[]>()
  for (const row of standing.values()) {
    const list = map.get(key(row))
    if (list) list.push(row)
    else map.set(key(row), [row])
  }
  return map
}
