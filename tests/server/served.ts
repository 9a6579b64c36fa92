import { fileURLToPath } from 'node:url'
import { createApp, type ServerDeps } from '../../src/server/index.ts'
import type { Warehouse } from '../../src/warehouse/index.ts'
import { catalogueOf, house } from '../catalogue/house.ts'

export type Served = {
  app: ReturnType<typeof createApp>
  warehouse: Warehouse
  deps: ServerDeps
  /** What the server asked of the rooms behind it. */
  calls: unknown[]
  setFingerprint: (text: string) => void
  close: () => Promise<void>
}

/** The server on a small warehouse, with rooms behind it that only note what they are asked. */
export async function served(more: Partial<ServerDeps> = {}): Promise<Served> {
  const warehouse = await house()
  const catalogue = catalogueOf({ limits: { timeMs: 400, rows: 1000 } })
  const calls: unknown[] = []
  let fingerprint = 'fp-1'
  const deps: ServerDeps = {
    catalogue,
    warehouse,
    fingerprint: async () => fingerprint,
    status: async () => ({
      fingerprint,
      seasons: ['2026'],
      counts: { drops: 4 },
      last_arrival: null,
      home_zone: null,
    }),
    evidence: async (kind, id) => (id === 'D-1' ? { kind, id, title: 'A drop' } : null),
    nearRecord: async (_kind, id) => (id === 'D-2' ? 'D-1' : null),
    ingest: async (files) => {
      calls.push(['ingest', files.map((file) => [file.name, new TextDecoder().decode(file.bytes)])])
      fingerprint = `fp-${calls.length + 1}`
      return { files: files.map((file) => ({ path: file.name })), totals: { read: files.length } }
    },
    amend: async (amendment) => {
      calls.push(['amend', amendment])
      return { amendment_no: 7 }
    },
    assetsFolder: fileURLToPath(new URL('assets', import.meta.url)),
    version: '1.2.3',
    ...more,
  }
  return {
    app: createApp(deps),
    warehouse,
    deps,
    calls,
    setFingerprint: (text) => {
      fingerprint = text
    },
    close: async () => {
      await catalogue.close()
      await warehouse.close()
    },
  }
}

export type Problem = { type: string; title: string; status: number; detail: string; suggestion?: string }

/** Checks that an answer is a problem document without insides, and gives it. */
export async function problemOf(response: Response): Promise<Problem> {
  if (response.headers.get('Content-Type') !== 'application/problem+json') {
    throw new Error(`no problem document: ${response.status} ${await response.text()}`)
  }
  const text = await response.text()
  if (/\bat .*\.(ts|js):\d+/.test(text)) throw new Error(`a stack trace left the server: ${text}`)
  const body = JSON.parse(text) as Problem
  if (body.status !== response.status) throw new Error('the status in the body differs from the answer’s')
  return body
}
