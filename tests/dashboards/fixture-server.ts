import { createHash } from 'node:crypto'
import { existsSync, readFileSync } from 'node:fs'
import { extname, join, resolve } from 'node:path'
import { serve } from '@hono/node-server'
import {
  Bool,
  DateDay,
  Decimal,
  Dictionary,
  Field,
  Float64,
  Int32,
  List,
  Table,
  TimestampMillisecond,
  tableToIPC,
  Utf8,
  type Vector,
  vectorFromArray,
} from 'apache-arrow'
import { Hono } from 'hono'
import { streamSSE } from 'hono/streaming'
import { answers, type Cell, evidenceOf, type FixtureRow } from './invented-season.ts'

const types: Record<string, string> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.json': 'application/json',
}
const params = ['season', 'from', 'to', 'aircraft', 'tank', 'base', 'fire', 'fluid', 'by']
const withoutFire = new Set(['loads', 'loads-by-hour', 'flights', 'turnarounds', 'meter-bias', 'tank-cycles'])

function vectorOf(cells: readonly (Cell | undefined)[]): Vector {
  const list = cells.map((cell) => cell ?? null)
  const sample = list.find((cell) => cell !== null)
  if (Array.isArray(sample)) return vectorFromArray(list, new List(new Field('item', new Utf8())))
  if (typeof sample === 'number') return vectorFromArray(list, new Float64())
  if (typeof sample === 'boolean') return vectorFromArray(list, new Bool())
  if (sample && typeof sample === 'object') {
    const read = list as ({ time?: string; day?: string; money?: string } | null)[]
    if ('time' in sample)
      return vectorFromArray(
        read.map((cell) => (cell ? Date.parse(cell.time!) : null)),
        new TimestampMillisecond(),
      )
    if ('day' in sample)
      return vectorFromArray(
        read.map((cell) => (cell ? new Date(`${cell.day}T00:00:00Z`) : null)),
        new DateDay(),
      )
    return vectorFromArray(
      read.map((cell) => (cell ? decimalWords(cell.money!) : null)),
      new Decimal(2, 18, 128),
    )
  }
  return vectorFromArray(list as (string | null)[], new Dictionary(new Utf8(), new Int32()))
}

function decimalWords(text: string): Uint32Array {
  const units = BigInt.asUintN(128, BigInt(text.replace('.', '')))
  return Uint32Array.from([0n, 32n, 64n, 96n].map((shift) => Number((units >> shift) & 0xffffffffn)))
}

function plainOf(cell: Cell): unknown {
  return cell && typeof cell === 'object' && !Array.isArray(cell) ? Object.values(cell)[0] : cell
}

/** Rows as the Arrow stream that the warehouse would send. */
export function arrowOf(rows: readonly FixtureRow[]): Uint8Array {
  const names = [...new Set(rows.flatMap((row) => Object.keys(row)))]
  return tableToIPC(
    new Table(Object.fromEntries(names.map((name) => [name, vectorOf(rows.map((row) => row[name]))]))),
    'stream',
  )
}

export interface Fixture {
  url: string
  /** What was posted to `/api/amendments`. */
  amendments: { action: string; payload: Record<string, unknown>; reason: string; by: string }[]
  ingested: string[]
  /** Names of queries that this warehouse lacks. */
  hide: Set<string>
  /** Queries that answer with a problem. */
  broken: Set<string>
  isEmpty: boolean
  /** Records that an amendment left out. */
  leftOut: Set<string>
  change(): void
  close(): Promise<void>
}

/** Serves built pages with invented answers on a free port of the loopback. `pages` is the folder of the bundle. */
export async function startFixture(pages = 'dist/dashboards'): Promise<Fixture> {
  const root = resolve(pages)
  const app = new Hono()
  const listeners = new Set<(fingerprint: string) => void>()
  let version = 1
  const fingerprint = (): string => createHash('sha256').update(`invented ${version}`).digest('hex')
  const fixture: Omit<Fixture, 'url' | 'close'> = {
    amendments: [],
    ingested: [],
    hide: new Set(),
    broken: new Set(),
    isEmpty: false,
    leftOut: new Set(),
    change() {
      version++
      for (const listener of listeners) listener(fingerprint())
    },
  }
  const info = (name: string): object => ({
    name,
    title: name,
    grain: 'one row per row',
    params: withoutFire.has(name) ? params.filter((param) => param !== 'fire') : params,
    columns: Object.keys(answers[name]!({})[0] ?? {}).map((column) => ({
      name: column,
      about: `about ${column}`,
    })),
    notes: [],
  })
  const evidence = (kind: string, id: string): object => {
    const found = evidenceOf(kind, id) as { record: object }
    const [contract, invoice, line] = kind === 'invoice-line' ? id.split('/') : []
    return {
      ...found,
      record: { ...found.record, contract, invoice, line, is_excluded: fixture.leftOut.has(id) },
    }
  }
  const names = (): string[] => Object.keys(answers).filter((name) => !fixture.hide.has(name))

  app.get('/api/queries', (context) => context.json(names().map(info)))
  app.get('/api/status', (context) =>
    context.json({
      fingerprint: fingerprint(),
      seasons: ['2026'],
      counts: fixture.isEmpty
        ? { files: 0, rows: 0, quarantined: 0, drops: 0, findings: 0 }
        : { files: 5, rows: 2310, quarantined: 1, drops: 531, findings: 3 },
      last_arrival: fixture.isEmpty ? null : '2026-09-28T03:04:00Z',
      home_zone: 'America/Boise',
    }),
  )
  app.get('/api/queries/:name', (context) => {
    const name = context.req.param('name')
    if (fixture.broken.has(name))
      return context.json(
        {
          type: 'about:blank',
          title: 'The question took too long.',
          status: 503,
          detail: 'Narrow the days and ask again.',
        },
        503,
      )
    if (!names().includes(name)) return context.json({ title: `No query ${name}`, status: 404 }, 404)
    const etag = `"${fingerprint().slice(0, 12)}"`
    if (context.req.header('if-none-match') === etag) return context.body(null, 304, { ETag: etag })
    const rows = fixture.isEmpty ? [] : answers[name]!(context.req.query())
    if (context.req.header('accept') === 'application/json') {
      const { limit, offset } = context.req.query()
      const end = Number(offset) + Number(limit)
      const page = rows
        .slice(Number(offset), end)
        .map((row) => Object.fromEntries(Object.entries(row).map(([key, value]) => [key, plainOf(value)])))
      return context.json(page, 200, rows.length > end ? { Link: `<${context.req.path}>; rel="next"` } : {})
    }
    return context.body(arrowOf(rows) as Uint8Array<ArrayBuffer>, 200, {
      'Content-Type': 'application/vnd.apache.arrow.stream',
      ETag: etag,
    })
  })
  app.get('/api/evidence/:kind/:id', (context) =>
    context.req.param('id') === 'nothing'
      ? context.json(
          { title: 'No such record', status: 404, detail: 'It may have been merged with another.' },
          404,
        )
      : context.json(evidence(context.req.param('kind'), context.req.param('id'))),
  )
  app.post('/api/amendments', async (context) => {
    const amendment = (await context.req.json()) as Fixture['amendments'][number]
    if (amendment.payload.value === 'abc')
      return context.json(
        {
          title: 'The request does not make sense here',
          status: 422,
          detail: 'write a number from 0 to 100000',
        },
        422,
      )
    fixture.amendments.push(amendment)
    setTimeout(() => fixture.change(), 50)
    return context.json({ amendment_no: fixture.amendments.length }, 201)
  })
  app.post('/api/ingest', async (context) => {
    const body = await context.req.parseBody()
    const file = body.file as File
    fixture.ingested.push(file.name)
    if (file.name.includes('broken'))
      return context.json(
        { title: 'broken.csv is not recognised.', status: 422, detail: 'Its headers match no profile.' },
        422,
      )
    if (file.name.endsWith('.json')) {
      const none = { read: 0, accepted: 0, duplicate: 0, superseded: 0, quarantined: 0 }
      const problems = ['sheet.json: headers is missing; correct the profile']
      return context.json({ files: [], totals: none, problems, profiles: ['sheet'] })
    }
    fixture.isEmpty = false
    setTimeout(() => fixture.change(), 50)
    const line = { read: 12, accepted: 9, duplicate: 2, superseded: 0, quarantined: 1 }
    const problem = file.name.includes('accents') ? 'the bytes are not utf-8' : undefined
    return context.json({
      files: [{ path: file.name, profile: 'canonical', ...line, problem }],
      totals: line,
    })
  })
  app.get('/api/events', (context) =>
    streamSSE(context, async (stream) => {
      await new Promise<void>((done) => {
        const listener = (data: string): void => void stream.writeSSE({ event: 'change', data })
        listeners.add(listener)
        listener(fingerprint())
        stream.onAbort(() => {
          listeners.delete(listener)
          done()
        })
      })
    }),
  )
  app.get('/*', (context) => {
    const path = join(root, context.req.path === '/' ? 'index.html' : context.req.path)
    if (!path.startsWith(root) || !existsSync(path)) return context.notFound()
    return context.body(readFileSync(path), 200, {
      'Content-Type': types[extname(path)] ?? 'application/octet-stream',
    })
  })
  return new Promise((done) => {
    const server = serve({ fetch: app.fetch, hostname: '127.0.0.1', port: 0 }, (address) =>
      done(
        Object.assign(fixture, {
          url: `http://127.0.0.1:${address.port}`,
          close: async () => {
            if ('closeAllConnections' in server) server.closeAllConnections()
            await new Promise<void>((closed) => server.close(() => closed()))
          },
        }),
      ),
    )
  })
}
