import { type Filters, filterNames } from './address.ts'
import { type Row, rowsOfArrow } from './rows.ts'

export interface QueryColumn {
  name: string
  about: string
}
export interface QueryInfo {
  name: string
  title: string
  grain: string
  params: string[]
  columns: QueryColumn[]
  notes?: string[] | string
  /** False for a question of the user's own. */
  built_in?: boolean
}
export interface Status {
  fingerprint: string
  seasons: string[]
  counts: Record<string, number>
  last_arrival: string | null
  home_zone: string | null
  /** Last operating day on record, by season. */
  last_days?: Record<string, string>
}
export interface ArrivalLine {
  path: string
  profile: string | null
  read: number
  accepted: number
  duplicate: number
  superseded: number
  quarantined: number
  problem?: string
}
export interface IngestResult {
  files: ArrivalLine[]
  totals: Omit<ArrivalLine, 'path' | 'profile' | 'problem'>
  /** What is wrong with a profile or a folder, in whole sentences. */
  problems?: string[]
  /** Profiles that came and are kept. */
  profiles?: string[]
}

/** Something the server refused or could not do, in its own words (an RFC 9457 problem). */
export class Problem extends Error {
  readonly status: number
  readonly way: string | null
  constructor(status: number, title: string, way: string | null) {
    super(title)
    this.status = status
    this.way = way
  }

  /** For who is writing: of what was written wrong only what is wrong with it, of anything else also what happened. */
  get words(): string {
    if (this.status === 422 && this.way) return this.way
    const title = /[.!?]$/.test(this.message) ? this.message : `${this.message}.`
    return this.way ? `${title} ${this.way}` : title
  }
}

const arrow = 'application/vnd.apache.arrow.stream'

async function problemOf(response: Response): Promise<Problem> {
  try {
    const body = (await response.json()) as { title?: string; detail?: string }
    return new Problem(response.status, body.title ?? response.statusText, body.detail ?? null)
  } catch {
    return new Problem(response.status, `The server answered ${response.status}.`, null)
  }
}

async function ask(url: string, init?: RequestInit): Promise<Response> {
  let response: Response
  try {
    response = await fetch(url, init)
  } catch {
    throw new Problem(
      0,
      'The warehouse does not answer.',
      'Is the server still running? Start it again, then retry.',
    )
  }
  if (response.ok || response.status === 304) return response
  throw await problemOf(response)
}

interface Kept {
  etag: string | null
  rows: Row[]
  age: number
}

/** The warehouse as the pages see it. Answers are kept per address and asked again, by ETag, once the warehouse changes. */
export class Api {
  private readonly kept = new Map<string, Kept>()
  private readonly pending = new Map<string, Promise<Row[]>>()
  private age = 0
  queries = new Map<string, QueryInfo>()
  status: Status = { fingerprint: '', seasons: [], counts: {}, last_arrival: null, home_zone: null }

  async open(): Promise<void> {
    const [queries, status] = await Promise.all([ask('/api/queries'), ask('/api/status')])
    const list = (await queries.json()) as QueryInfo[]
    this.queries = new Map(list.map((info) => [info.name, info]))
    this.status = (await status.json()) as Status
  }

  /** The warehouse has changed: every kept answer is asked again when next needed. */
  async renew(): Promise<void> {
    this.age++
    await this.open()
  }

  /** Questions that people brought themselves (`--queries`). */
  get own(): QueryInfo[] {
    return [...this.queries.values()].filter((info) => info.built_in === false)
  }

  has(name: string): boolean {
    return this.queries.has(name)
  }

  address(name: string, filters: Filters, more: Record<string, string> = {}): string {
    const takes = new Set(this.queries.get(name)?.params ?? [])
    const params = new URLSearchParams()
    for (const filter of filterNames)
      if (takes.has(filter) && filters[filter]) params.set(filter, filters[filter])
    // A standing as of a day has no first day: the last day of the filter is its day.
    if (takes.has('as_of') && !takes.has('to') && filters.to) params.set('as_of', filters.to)
    for (const [key, value] of Object.entries(more)) params.set(key, value)
    const text = params.toString()
    return `/api/queries/${encodeURIComponent(name)}${text ? `?${text}` : ''}`
  }

  /** Rows of a named question. The row type is the query's own list of columns. */
  async query<R>(name: string, filters: Filters, more: Record<string, string> = {}): Promise<R[]> {
    const url = this.address(name, filters, more)
    const kept = this.kept.get(url)
    if (kept?.age === this.age) return kept.rows as unknown as R[]
    const running = this.pending.get(url) ?? this.fetchRows(url, kept)
    this.pending.set(url, running)
    try {
      return (await running) as unknown as R[]
    } finally {
      this.pending.delete(url)
    }
  }

  private async fetchRows(url: string, kept: Kept | undefined): Promise<Row[]> {
    const age = this.age
    const headers: Record<string, string> = { Accept: arrow }
    if (kept?.etag) headers['If-None-Match'] = kept.etag
    const response = await ask(url, { headers, cache: 'no-store' })
    const rows =
      response.status === 304 && kept ? kept.rows : rowsOfArrow(new Uint8Array(await response.arrayBuffer()))
    this.kept.set(url, { etag: response.headers.get('ETag') ?? kept?.etag ?? null, rows, age })
    return rows
  }

  /** Some rows of a long list, in the order of the question, and whether more follow. */
  async rowsFrom(
    name: string,
    filters: Filters,
    limit: number,
    offset: number,
    more: Readonly<Record<string, string>> = {},
  ): Promise<{ rows: Row[]; isMore: boolean }> {
    const url = this.address(name, filters, {
      ...more,
      limit: String(limit),
      offset: String(offset),
    })
    const response = await ask(url, { headers: { Accept: 'application/json' } })
    return {
      rows: (await response.json()) as Row[],
      isMore: /rel="?next/.test(response.headers.get('Link') ?? ''),
    }
  }

  async evidence<T>(kind: string, id: string): Promise<T> {
    const response = await ask(`/api/evidence/${encodeURIComponent(kind)}/${encodeURIComponent(id)}`)
    return (await response.json()) as T
  }

  /** What stands in the warehouse at this moment. */
  async standing(): Promise<Status> {
    return (await (await ask('/api/status', { cache: 'no-store' })).json()) as Status
  }

  /** Records an amendment. @returns its number. @throws Problem with the server's reason when it is refused. */
  async amend(action: string, payload: Record<string, unknown>, reason: string, by: string): Promise<number> {
    const response = await ask('/api/amendments', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ action, payload, reason, by }),
    })
    return ((await response.json()) as { amendment_no: number }).amendment_no
  }

  /** Hands one file over, its name with it. When the answer is lost it is sent again under the same `Idempotency-Key`. */
  async ingest(file: File): Promise<IngestResult> {
    const body = new FormData()
    body.append('file', file, file.name)
    const key = Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) =>
      byte.toString(16).padStart(2, '0'),
    ).join('')
    const send = (): Promise<Response> =>
      ask('/api/ingest', { method: 'POST', headers: { 'Idempotency-Key': key }, body })
    const response = await send().catch((error: unknown) => {
      if (error instanceof Problem && error.status === 0) return send()
      throw error
    })
    return (await response.json()) as IngestResult
  }

  /** Calls back when the warehouse changes; the browser reconnects by itself. */
  listen(changed: () => void): void {
    if (typeof EventSource === 'undefined') return
    new EventSource('/api/events').addEventListener('change', (event) => {
      if ((event as MessageEvent<string>).data !== this.status.fingerprint) changed()
    })
  }
}
