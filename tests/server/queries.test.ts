import { gunzipSync } from 'node:zlib'
import { tableFromIPC } from 'apache-arrow'
import readXlsxFile from 'read-excel-file/node'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { problemOf, type Served, served } from './served.ts'

let house: Served
beforeAll(async () => {
  house = await served()
})
afterAll(() => house.close())

const get = (path: string, headers: Record<string, string> = {}) => house.app.request(path, { headers })
const arrow = 'application/vnd.apache.arrow.stream'
const xlsx = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet'

describe('the list of questions', () => {
  test('says what each takes and gives', async () => {
    const response = await get('/api/queries')
    const list = (await response.json()) as {
      name: string
      params: string[]
      columns: { name: string; about: string }[]
    }[]
    const fires = list.find((entry) => entry.name === 'gallons-by-fire')!
    expect(fires.params).toEqual(['season', 'from', 'fluid'])
    expect(fires.columns[1]).toEqual({ name: 'drops', about: 'number of drops' })
    expect((await get('/api/queries', { 'If-None-Match': response.headers.get('ETag')! })).status).toBe(304)
  })
})

describe('an answer', () => {
  test('is JSON unless something else is asked for', async () => {
    for (const accept of ['', '*/*', 'application/json', 'text/html, application/json;q=0.9, */*;q=0.1']) {
      const response = await get('/api/queries/gallons-by-fire?season=2026', accept ? { Accept: accept } : {})
      expect(response.status).toBe(200)
      expect(response.headers.get('Content-Type')).toBe('application/json')
      const rows = (await response.json()) as { fire: string; cost: string }[]
      expect(rows.map((row) => [row.fire, row.cost])).toEqual([
        ['=F-2', '-17.50'],
        ['F-1', '1200.15'],
      ])
    }
  })

  test('comes as CSV, Arrow, a workbook or Parquet', async () => {
    const csv = await get('/api/queries/gallons-by-fire', { Accept: 'text/csv' })
    expect(csv.headers.get('Content-Type')).toBe('text/csv; charset=utf-8; header=present')
    expect(csv.headers.get('Content-Disposition')).toBe('attachment; filename="gallons-by-fire.csv"')
    expect(await csv.text()).toMatch(/^fire,drops,.*\r\n'=F-2,1,120,/)
    const bytes = new Uint8Array(
      await (await get('/api/queries/gallons-by-fire', { Accept: arrow })).arrayBuffer(),
    )
    expect(tableFromIPC(bytes).numRows).toBe(3)
    const book = await get('/api/queries/gallons-by-fire', { Accept: xlsx })
    const sheets = await readXlsxFile(Buffer.from(await book.arrayBuffer()))
    expect(sheets.map((sheet) => sheet.sheet)).toEqual(['gallons-by-fire', 'About'])
    expect(JSON.stringify(sheets[1]!.data)).toContain('fp-1')
    const parquet = await get('/api/queries/gallons-by-fire?format=parquet')
    expect(
      Buffer.from(await parquet.arrayBuffer())
        .subarray(0, 4)
        .toString(),
    ).toBe('PAR1')
  })

  test('format= goes before Accept', async () => {
    const response = await get('/api/queries/gallons-by-fire?format=csv', { Accept: 'application/json' })
    expect(response.headers.get('Content-Type')).toMatch(/^text\/csv/)
  })

  test('is compressed where the client can read it', async () => {
    const response = await get('/api/queries/numbers', { 'Accept-Encoding': 'gzip' })
    expect(response.headers.get('Content-Encoding')).toBe('gzip')
    expect(JSON.parse(gunzipSync(Buffer.from(await response.arrayBuffer())).toString())).toHaveLength(5000)
  })

  test('of a user’s query', async () => {
    expect(await (await get('/api/queries/my-total?fluid=water')).json()).toEqual([{ gallons: 420 }])
  })
})

describe('an entity tag', () => {
  const tag = async (path: string, headers = {}) => (await get(path, headers)).headers.get('ETag')!

  test('lets an unchanged answer stay away, also when compression weakened it', async () => {
    const known = await tag('/api/queries/gallons-by-fire')
    for (const header of [known, `W/${known}`, `"other", ${known}`, '*']) {
      const response = await get('/api/queries/gallons-by-fire', { 'If-None-Match': header })
      expect([response.status, await response.text()]).toEqual([304, ''])
    }
  })

  test('differs by param, format, page and records', async () => {
    const tags = [
      await tag('/api/queries/gallons-by-fire'),
      await tag('/api/queries/gallons-by-fire?season=2026'),
      await tag('/api/queries/gallons-by-fire?format=csv'),
      await tag('/api/queries/gallons-by-fire?limit=1'),
    ]
    house.setFingerprint('fp-other')
    tags.push(await tag('/api/queries/gallons-by-fire'))
    house.setFingerprint('fp-1')
    expect(new Set(tags).size).toBe(5)
    expect(await tag('/api/queries/gallons-by-fire')).toBe(tags[0])
  })
})

describe('pages', () => {
  test('link to one another', async () => {
    const seen: number[] = []
    let next: string | null = '/api/queries/numbers?count=25&limit=10'
    while (next) {
      const response: Response = await get(next)
      seen.push(...((await response.json()) as { n: number }[]).map((row) => row.n))
      next = /<([^>]+)>; rel="next"/.exec(response.headers.get('Link') ?? '')?.[1] ?? null
    }
    expect(seen).toEqual(Array.from({ length: 25 }, (_, index) => index))
    const middle = await get('/api/queries/numbers?count=25&limit=10&offset=5')
    expect(middle.headers.get('Link')).toMatch(/offset=0>; rel="prev", .*offset=15>; rel="next"/)
    const csv = await (await get('/api/queries/numbers?count=25&limit=2&offset=3&format=csv')).text()
    expect(csv).toBe('n\r\n3\r\n4\r\n')
  })
})

describe('what cannot be answered is a problem document', () => {
  test.each([
    ['/api/queries/gallons-by-fires', 404, 'unknown-query', /did you mean gallons-by-fire\?/],
    ['/api/queries/gallons-by-fire?seson=2026', 422, 'unknown-param', /did you mean season\?/],
    ['/api/queries/gallons-by-fire?from=4.7.2026', 422, 'bad-param', /write it as 2026-07-04/],
    ['/api/queries/gallons-by-fire?from=2026-07-01&from=2026-07-02', 422, 'bad-param', /twice/],
    ['/api/queries/gallons-by-fire?format=pdf', 422, 'unknown-format', /json, csv, arrow/],
    ['/api/queries/gallons-by-fire?limit=0', 422, 'bad-param', /whole number from 1/],
    ['/api/queries/gallons-by-fire?format=arrow&limit=5', 422, 'no-pages', /given whole/],
    ['/api/queries/writes', 422, 'refused', /only a SELECT/],
    ['/api/queries/endless', 422, 'too-slow', /stopped after/],
    ['/api/queries/reads-a-file', 422, 'failed', /disabled/],
    ['/api/queries/prepared', 500, 'failed', /nothing prepares "due"/],
    ['/api/nothing', 404, 'no-such-address', /openapi/],
  ])('%s', async (path, status, kind, detail) => {
    const body = await problemOf(await get(path))
    expect(body).toMatchObject({ status, type: `urn:gallonage:problem:${kind}` })
    expect(body.detail).toMatch(detail)
  })

  test('a format that nobody has', async () => {
    expect((await problemOf(await get('/api/queries/numbers', { Accept: 'image/png' }))).status).toBe(406)
  })

  test('a method that does not fit', async () => {
    const response = await house.app.request('/api/queries/numbers', { method: 'DELETE' })
    expect(response.headers.get('Allow')).toBe('GET, HEAD')
    expect((await problemOf(response)).status).toBe(405)
  })
})
