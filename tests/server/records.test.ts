import { afterAll, beforeEach, describe, expect, test } from 'vitest'
import { RequestRefused } from '../../src/server/index.ts'
import { problemOf, type Served, served } from './served.ts'

let house: Served
const open: Served[] = []
beforeEach(async () => {
  house = await served()
  open.push(house)
})
afterAll(async () => {
  for (const one of open) await one.close()
})

const post = (path: string, body: BodyInit, headers: Record<string, string> = {}) =>
  house.app.request(path, { method: 'POST', body, headers })

const alias = {
  action: 'alias',
  payload: { kind: 'fire', target: 'F-1', alias: 'Dry Crk' },
  reason: 'misspelt',
  by: 'Ada',
}
const amend = (body: unknown, headers = {}) =>
  post('/api/amendments', JSON.stringify(body), { 'Content-Type': 'application/json', ...headers })

describe('ingest', () => {
  test('takes a body named in the address or in its disposition, a form, and JSON lines', async () => {
    await post('/api/ingest?name=../../drops.csv', 'a,b\n1,2\n')
    await post('/api/ingest', 'x', { 'Content-Disposition': `attachment; filename="loads \\"2\\".csv"` })
    await post('/api/ingest', 'x', { 'Content-Disposition': `attachment; filename*=UTF-8''f%C3%BCr.csv` })
    await post('/api/ingest', '{"kind":"drop"}\n', { 'Content-Type': 'application/x-ndjson' })
    const form = new FormData()
    form.append('file', new File(['one'], 'one.csv'))
    form.append('file', new File(['two'], 'two.csv'))
    const response = await post('/api/ingest', form)
    expect(await response.json()).toEqual({
      files: [{ path: 'one.csv' }, { path: 'two.csv' }],
      totals: { read: 2 },
    })
    expect(house.calls).toEqual([
      ['ingest', [['drops.csv', 'a,b\n1,2\n']]],
      ['ingest', [['loads _2_.csv', 'x']]],
      ['ingest', [['für.csv', 'x']]],
      ['ingest', [['lines.jsonl', '{"kind":"drop"}\n']]],
      [
        'ingest',
        [
          ['one.csv', 'one'],
          ['two.csv', 'two'],
        ],
      ],
    ])
  })

  test('a key is honoured: same content once, other content refused', async () => {
    const key = { 'Idempotency-Key': 'night-12' }
    const answers = await Promise.all([1, 2].map(() => post('/api/ingest?name=a.csv', 'same', key)))
    expect(await answers[0]!.json()).toEqual(await answers[1]!.json())
    expect(house.calls).toHaveLength(1)
    const other = await problemOf(await post('/api/ingest?name=a.csv', 'other', key))
    expect(other).toMatchObject({ status: 422, type: 'urn:gallonage:problem:key-reused' })
    expect(other.detail).toMatch(/^the Idempotency-Key night-12 was used/)
    await post('/api/ingest?name=a.csv', 'other', { 'Idempotency-Key': 'night-13' })
    expect(house.calls).toHaveLength(2)
  })

  test('what fails may be tried again with the same key', async () => {
    let attempts = 0
    const failing = await served({
      ingest: async () => {
        attempts++
        throw new RequestRefused('the season 2025 is closed', 409, 'season-closed')
      },
    })
    open.push(failing)
    for (let attempt = 1; attempt <= 2; attempt++) {
      const response = await failing.app.request('/api/ingest?name=a.csv', {
        method: 'POST',
        body: 'x',
        headers: { 'Idempotency-Key': 'k' },
      })
      expect(await problemOf(response)).toMatchObject({ status: 409, detail: 'the season 2025 is closed' })
      expect(attempts).toBe(attempt)
    }
  })

  test.each([
    ['/api/ingest', 'x', {}, 422, /\?name=/],
    ['/api/ingest?name=a.csv', '', {}, 422, /empty/],
    ['/api/ingest', 'a=1', { 'Content-Type': 'application/x-www-form-urlencoded' }, 415, /not a log/],
    ['/api/ingest', 'broken', { 'Content-Type': 'multipart/form-data' }, 400, /boundary/],
  ])('%s with %j is refused', async (path, body, headers, status, detail) => {
    const found = await problemOf(await post(path, body, headers as Record<string, string>))
    expect(found.status).toBe(status)
    expect(found.detail).toMatch(detail)
    expect(house.calls).toEqual([])
  })

  test('too large a body is refused', async () => {
    const small = await served({ largestUploadBytes: 10 })
    open.push(small)
    const response = await small.app.request('/api/ingest?name=a.csv', {
      method: 'POST',
      body: 'x'.repeat(11),
    })
    expect((await problemOf(response)).status).toBe(413)
  })
})

describe('amendments', () => {
  test('reach the account whole', async () => {
    const response = await amend(alias)
    expect([response.status, await response.json()]).toEqual([200, { amendment_no: 7 }])
    expect(house.calls).toEqual([['amend', alias]])
  })

  test.each([
    ['set-field', { obs_no: 4294967312, kind: 'drop', field: 'volume_gal', value: '800' }],
    ['set-field', { obs_no: 4294967312, kind: 'drop', field: 'fire', value: null }],
    ['exclude', { kind: 'drop', obs: [1] }],
    ['merge', { kind: 'load', obs: [1, 2] }],
    ['split', { kind: 'drop', obs: [[1], [2, 3]] }],
    ['finding-state', { finding_id: 'ab12', state: 'accepted' }],
    ['invoice-note', { contract: 'C', invoice: 'I', line: '3', state: 'disputed' }],
    ['reopen-season', { season: '2026' }],
    ['undo', { amendment_no: 3 }],
  ])('%s is taken', async (action, payload) => {
    expect((await amend({ action, payload, reason: 'seen on the ticket', by: 'Ada' })).status).toBe(200)
    expect(house.calls).toEqual([['amend', { action, payload, reason: 'seen on the ticket', by: 'Ada' }]])
  })

  test.each([
    [{ ...alias, reason: ' ' }, /reason: say why/],
    [{ ...alias, by: undefined }, /by/],
    [{ ...alias, action: 'delete' }, /action/],
    [{ ...alias, payload: { kind: 'river', target: 'a', alias: 'b' } }, /payload\/kind/],
    [{ ...alias, payload: { ...alias.payload, more: 1 } }, /payload/],
    [{ ...alias, action: 'merge', payload: { kind: 'drop', obs: [1] } }, /payload\/obs/],
    [[], /./],
    [null, /./],
  ])('%j is refused with what is wrong', async (body, detail) => {
    const found = await problemOf(await amend(body))
    expect(found.status).toBe(422)
    expect(found.detail).toMatch(detail)
    expect(house.calls).toEqual([])
  })

  test('another content type, and a body that is no JSON', async () => {
    expect(
      (await problemOf(await post('/api/amendments', 'x', { 'Content-Type': 'text/plain' }))).status,
    ).toBe(415)
    const broken = await post('/api/amendments', '{', { 'Content-Type': 'application/json' })
    expect((await problemOf(broken)).status).toBe(400)
  })
})

describe('evidence and status', () => {
  test('come as they are, with an entity tag', async () => {
    const response = await house.app.request('/api/evidence/drop/D-1')
    expect(await response.json()).toEqual({ kind: 'drop', id: 'D-1', title: 'A drop' })
    const headers = { 'If-None-Match': response.headers.get('ETag')! }
    expect((await house.app.request('/api/evidence/drop/D-1', { headers })).status).toBe(304)
    expect(await (await house.app.request('/api/status')).json()).toMatchObject({
      fingerprint: 'fp-1',
      counts: { drops: 4 },
    })
  })

  test('an id may hold slashes and colons', async () => {
    const seen: string[] = []
    const other = await served({
      evidence: async (kind, id) => {
        seen.push(`${kind}=${id}`)
        return { id }
      },
    })
    open.push(other)
    await other.app.request('/api/evidence/file/2%3A14')
    await other.app.request(`/api/evidence/invoice-line/${encodeURIComponent('C/1:I-2:3')}`)
    expect(seen).toEqual(['file=2:14', 'invoice-line=C/1:I-2:3'])
  })

  test('unknown ones are 404', async () => {
    expect((await problemOf(await house.app.request('/api/evidence/drop/D-9'))).detail).toMatch(
      /no drop D-9; it may have another name since the last arrival$/,
    )
    expect((await problemOf(await house.app.request('/api/evidence/drop/D-2'))).detail).toMatch(
      /no drop D-2; it may have another name since the last arrival: the nearest in time is D-1$/,
    )
    expect((await problemOf(await house.app.request('/api/evidence/drops/D-1'))).detail).toMatch(
      /did you mean drop\?/,
    )
  })

  test('what the server did not expect stays inside, and goes to the log', async () => {
    const lines: string[] = []
    const broken = await served({
      evidence: async () => {
        throw new Error('secret inside')
      },
      log: (line) => lines.push(line),
    })
    open.push(broken)
    const found = await problemOf(await broken.app.request('/api/evidence/drop/D-1'))
    expect(found.status).toBe(500)
    expect(JSON.stringify(found)).not.toContain('secret')
    expect(lines.join()).toContain('secret inside')
  })
})

describe('events', () => {
  test('tell the fingerprint that stands, and each new one', async () => {
    const response = await house.app.request('/api/events')
    expect(response.headers.get('Content-Type')).toBe('text/event-stream')
    const reader = response.body!.pipeThrough(new TextDecoderStream()).getReader()
    expect((await reader.read()).value).toBe('event: change\ndata: fp-1\n\n')
    await post('/api/ingest?name=a.csv', 'x')
    expect((await reader.read()).value).toBe('event: change\ndata: fp-2\n\n')
    await reader.cancel()
  })
})
