import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { Accounts, hashPassword, isLoopback } from '../../src/server/index.ts'
import { problemOf, type Served, served } from './served.ts'

let house: Served
let guarded: Served
beforeAll(async () => {
  house = await served()
  const accounts = new Accounts([
    { name: 'ada', role: 'editor', password: await hashPassword('correct horse') },
    { name: 'ben', role: 'reader', password: await hashPassword('battery staple') },
  ])
  guarded = await served({ accounts })
})
afterAll(async () => {
  await house.close()
  await guarded.close()
})

const basic = (name: string, password: string) => ({
  Authorization: `Basic ${Buffer.from(`${name}:${password}`).toString('base64')}`,
})

describe('who may come in', () => {
  test.each([
    ['localhost', true],
    ['127.0.0.1', true],
    ['127.8.9.10', true],
    ['[::1]', true],
    ['::1', true],
    ['0.0.0.0', false],
    ['localhost.example.org', false],
    ['127.0.0.1.example.org', false],
    ['192.168.1.4', false],
  ])('%s is loopback: %s', (host, expected) => {
    expect(isLoopback(host)).toBe(expected)
  })

  test('a name that another site points here is refused', async () => {
    const response = await house.app.request('http://rebound.example.org/api/status')
    expect(await problemOf(response)).toMatchObject({
      status: 421,
      type: 'urn:gallonage:problem:unknown-host',
    })
    expect((await house.app.request('http://127.0.0.1:8080/api/status')).status).toBe(200)
  })

  test.each([
    [{ Origin: 'https://elsewhere.example' }, 403],
    [{ Origin: 'null' }, 403],
    [{ 'Sec-Fetch-Site': 'cross-site' }, 403],
    [{ 'Sec-Fetch-Site': 'same-site', Origin: 'http://localhost' }, 403],
    [{ 'Sec-Fetch-Site': 'same-origin', Origin: 'http://localhost' }, 200],
    [{}, 200],
  ])('a change asked for with %j → %i', async (headers, status) => {
    const response = await house.app.request('/api/ingest?name=a.csv', {
      method: 'POST',
      body: 'x',
      headers: headers as Record<string, string>,
    })
    expect(response.status).toBe(status)
  })
})

describe('accounts', () => {
  test('nobody comes in without one, except to see that the server is up', async () => {
    const response = await guarded.app.request('/api/status')
    expect(response.headers.get('WWW-Authenticate')).toMatch(/^Basic realm="gallonage"/)
    expect((await problemOf(response)).status).toBe(401)
    expect((await guarded.app.request('/')).status).toBe(401)
    expect((await guarded.app.request('/healthz')).status).toBe(200)
    expect((await guarded.app.request('/api/status', { headers: basic('ada', 'wrong') })).status).toBe(401)
    expect((await guarded.app.request('/api/status', { headers: basic('eve', 'wrong') })).status).toBe(401)
  })

  test('readers read, editors change and are named', async () => {
    const ben = basic('ben', 'battery staple')
    const ada = { ...basic('ada', 'correct horse'), 'Content-Type': 'application/json' }
    expect((await guarded.app.request('/api/status', { headers: ben })).status).toBe(200)
    const body = JSON.stringify({
      action: 'undo',
      payload: { amendment_no: 1 },
      reason: 'wrong ticket',
      by: 'someone else',
    })
    const refused = await guarded.app.request('/api/amendments', { method: 'POST', body, headers: ben })
    expect((await problemOf(refused)).status).toBe(403)
    await guarded.app.request('/api/amendments', { method: 'POST', body, headers: ada })
    expect(guarded.calls).toMatchObject([['amend', { by: 'ada' }]])
  })

  test('ten wrong passwords in a minute close the door for a while', async () => {
    const accounts = new Accounts([{ name: 'cy', role: 'reader', password: await hashPassword('right') }])
    for (let attempt = 0; attempt < 10; attempt++)
      expect(await accounts.find('cy', `wrong ${attempt}`)).toBeNull()
    expect(await accounts.find('cy', 'right')).toBe('wait')
  })

  test('a hash is salted, and fits its password only', async () => {
    const [one, two] = [await hashPassword('same'), await hashPassword('same')]
    expect(one).not.toBe(two)
    const accounts = new Accounts([{ name: 'a', role: 'reader', password: two }])
    expect(await accounts.find('a', 'same')).toEqual({ name: 'a', role: 'reader' })
    expect(await accounts.find('a', 'Same')).toBeNull()
  })
})

describe('pages', () => {
  test('the document for / and for page paths, with headers that keep strangers out', async () => {
    for (const path of ['/', '/fires', '/fires/']) {
      const response = await house.app.request(path)
      expect(response.status).toBe(200)
      expect(response.headers.get('Content-Type')).toBe('text/html; charset=utf-8')
      expect(await response.text()).toContain('<title>pages</title>')
    }
    const { headers } = await house.app.request('/')
    expect(headers.get('Content-Security-Policy')).toMatch(/default-src 'none'; script-src 'self';/)
    expect(headers.get('X-Content-Type-Options')).toBe('nosniff')
    expect(headers.get('Cache-Control')).toBe('no-cache')
  })

  test('files with their types; hashed ones never change', async () => {
    const script = await house.app.request('/main-ABCD1234.js')
    expect(script.headers.get('Content-Type')).toBe('text/javascript; charset=utf-8')
    expect(script.headers.get('Cache-Control')).toMatch(/immutable/)
    const style = await house.app.request('/parts/style.css')
    expect(style.headers.get('Content-Type')).toBe('text/css; charset=utf-8')
    const again = await house.app.request('/parts/style.css', {
      headers: { 'If-None-Match': style.headers.get('ETag')! },
    })
    expect(again.status).toBe(304)
  })

  test.each([
    '/nothing.js',
    '/..%2fserved.ts',
    '/%2e%2e/served.ts',
    '/..%5cserved.ts',
    '/a%00.js',
    '/%E0%A4%A.js',
  ])('%s is not there', async (path) => {
    expect((await problemOf(await house.app.request(path))).status).toBe(404)
  })

  test('without built pages it says how to build them', async () => {
    const bare = await served({ assetsFolder: null })
    expect((await problemOf(await bare.app.request('/'))).detail).toMatch(/npm run build/)
    await bare.close()
  })

  test('HEAD is GET without a body', async () => {
    const response = await house.app.request('/healthz', { method: 'HEAD' })
    expect([response.status, await response.text()]).toEqual([200, ''])
  })
})
