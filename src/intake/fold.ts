import { Series } from './series.ts'

/** One typed row as the fold sees it. */
export interface FoldRow {
  /** Grows with file and line. */
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

/** What earlier arrivals left: all that the fate of later ones depends on. */
export interface FoldState {
  /** Rows that stand. */
  readonly standing: readonly FoldRow[]
  /** Contents that came before, whatever became of them, each with a file that had it. */
  readonly seen: Iterable<readonly [ident: string, file: number]>
  /** Files that are of one series, in pairs; together they join all that are. */
  readonly series: Iterable<readonly [number, number]>
}

const twelveHours = 12 * 3600 * 1000

/**
 * Plays arrivals in order and says what became of each row.
 *
 * A row that stands already is a duplicate. A row with the key of a standing row and other content replaces it. A row
 * without a key replaces a standing row of the same source, aircraft and minute, but only one that the new file does
 * not have itself. A whole file also replaces, in line order, what earlier files of its series said within its span of
 * time and it no longer says, and withdraws the rest.
 *
 * @param rows in order of file and line.
 * @param isWhole whether a file is the whole of its series: of the files that repeat or replace each other's rows.
 * @param before what files before these left; then only rows whose fate is decided now are in the result.
 */
export function foldArrivals(
  rows: readonly FoldRow[],
  isWhole: (file: number) => boolean,
  before: FoldState = { standing: [], seen: [], series: [] },
): Folded {
  const fold = new Fold(before)
  for (const file of filesOf(rows)) fold.take(file, isWhole(file[0]!.file))
  return fold.folded
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

/** Rows of one file under one key that tell of one event, with the row that stood for it before. */
interface Telling {
  readonly before: FoldRow | null
  readonly rows: FoldRow[]
}

class Fold {
  readonly folded: Folded = { fates: new Map(), withdrawn: [], farApart: [] }
  readonly #standing: Map<number, FoldRow>
  readonly #seen: Map<string, number>
  readonly #series: Series

  constructor(before: FoldState) {
    this.#standing = new Map(before.standing.map((row) => [row.obs, row]))
    this.#seen = new Map(before.seen)
    this.#series = new Series(before.series)
  }

  /** What stands, in order of arrival: by number, so that it does not matter when a row was accepted. */
  #inOrder(): FoldRow[] {
    return [...this.#standing.values()].sort((a, b) => a.obs - b.obs)
  }

  take(rows: readonly FoldRow[], isWhole: boolean): void {
    const paired = new Set<number>()
    this.#takeKeyed(
      rows.filter((row) => row.isKeyed),
      paired,
    )
    const fresh = this.#takeUnkeyed(
      rows.filter((row) => !row.isKeyed),
      paired,
    )
    if (isWhole) this.#takeWhole(rows, fresh, paired)
    for (const row of fresh) if (!this.folded.fates.has(row.obs)) this.#accept(row)
    for (const row of rows) this.#seen.set(row.ident, row.file)
  }

  /** The last row of a file under a key is what the file says; it is compared with what stood before. */
  #takeKeyed(rows: readonly FoldRow[], paired: Set<number>): void {
    const standing = indexed(
      this.#inOrder().filter((row) => row.isKeyed),
      (row) => row.key,
    )
    for (const [key, own] of indexed(rows, (row) => row.key)) {
      for (const telling of this.#tellings(own, standing.get(key) ?? [])) {
        if (telling.before) paired.add(telling.before.obs)
        this.#settle(telling)
      }
    }
  }

  #tellings(rows: readonly FoldRow[], before: readonly FoldRow[]): Telling[] {
    const tellings: Telling[] = before.map((row) => ({ before: row, rows: [] }))
    for (const row of rows) {
      const near = tellings.find((one) => isNear(one.rows.at(-1) ?? one.before!, row))
      if (near) near.rows.push(row)
      else {
        if (tellings.length > 0) this.folded.farApart.push(row.obs)
        tellings.push({ before: null, rows: [row] })
      }
    }
    return tellings.filter((one) => one.rows.length > 0)
  }

  #settle({ before, rows }: Telling): void {
    const said = rows.at(-1)!.ident
    const isNews = before?.ident !== said
    const final = rows.find(
      (row, i) => row.ident === said && rows.slice(i).every((later) => later.ident === said),
    )!
    const stands = isNews ? final : before!
    for (const row of rows) {
      if (row === stands) this.#accept(row)
      else if (row.ident === stands.ident || this.#seen.has(row.ident)) this.#set(row, 'duplicate', null)
      else this.#set(row, 'superseded', stands.obs)
    }
    if (before && isNews) this.#replace(before, final)
  }

  /** @returns rows that repeat nothing and replace nothing yet. */
  #takeUnkeyed(rows: readonly FoldRow[], paired: Set<number>): FoldRow[] {
    const standing = this.#inOrder().filter((row) => !row.isKeyed)
    const byIdent = indexed(standing, (row) => row.ident)
    const byMinute = indexed(standing, (row) => row.key)
    const left = rows.filter((row) => {
      const same = byIdent.get(row.ident)?.find((old) => !paired.has(old.obs))
      if (!same) return true
      paired.add(same.obs)
      this.#set(row, 'duplicate', null)
      return false
    })
    return left.filter((row) => {
      const old = byMinute.get(row.key)?.find((candidate) => !paired.has(candidate.obs))
      if (!old) return true
      paired.add(old.obs)
      this.#accept(row)
      this.#replace(old, row)
      return false
    })
  }

  /** What a whole file no longer has within its span of time is replaced by its new rows in line order, or withdrawn. */
  #takeWhole(rows: readonly FoldRow[], fresh: readonly FoldRow[], paired: ReadonlySet<number>): void {
    const own = rows[0]!.file
    for (const { ident } of rows) if (this.#seen.has(ident)) this.#series.join(own, this.#seen.get(ident)!)
    const series = this.#series.of(own)
    const isOfSeries = (file: number): boolean => file !== own && this.#series.of(file) === series
    const span = spanOf(rows)
    const gone = [...this.#standing.values()]
      .filter((old) => isOfSeries(old.file) && !paired.has(old.obs) && inSpan(old, span))
      .sort((a, b) => a.file - b.file || a.line - b.line)
    const news = fresh.filter((row) => inSpan(row, span))
    for (const old of gone) {
      const row = news.shift()
      if (row) {
        this.#accept(row)
        this.#replace(old, row)
        continue
      }
      this.#standing.delete(old.obs)
      this.#set(old, 'superseded', null)
      this.folded.withdrawn.push({ obs: old.obs, byFile: own })
    }
  }

  #accept(row: FoldRow): void {
    this.#standing.set(row.obs, row)
    this.#set(row, 'accepted', null)
  }

  #replace(old: FoldRow, row: FoldRow): void {
    this.#series.join(old.file, row.file)
    this.#standing.delete(old.obs)
    this.#set(old, 'superseded', row.obs)
  }

  #set(row: FoldRow, fate: Fate, replacedBy: number | null): void {
    this.folded.fates.set(row.obs, { fate, replacedBy })
  }
}

function isNear(old: FoldRow, row: FoldRow): boolean {
  return Number.isNaN(old.at) || Number.isNaN(row.at) || Math.abs(old.at - row.at) <= twelveHours
}

interface Span {
  readonly first: number
  readonly last: number
}

function spanOf(rows: readonly FoldRow[]): Span {
  let first = Number.POSITIVE_INFINITY
  let last = Number.NEGATIVE_INFINITY
  for (const row of rows) {
    if (row.at < first) first = row.at
    if (row.at > last) last = row.at
  }
  return { first, last }
}

function inSpan(row: FoldRow, span: Span): boolean {
  return row.at >= span.first && row.at <= span.last
}

function indexed(rows: readonly FoldRow[], key: (row: FoldRow) => string): Map<string, FoldRow[]> {
  const map = new Map<string, FoldRow[]>()
  for (const row of rows) {
    const list = map.get(key(row))
    if (list) list.push(row)
    else map.set(key(row), [row])
  }
  return map
}
