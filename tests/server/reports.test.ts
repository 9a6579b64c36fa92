import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { QueryProblem } from '../../src/catalogue/index.ts'
import { RequestRefused } from '../../src/server/index.ts'
import { type Served, served } from './served.ts'

let house: Served
const made: unknown[] = []

beforeAll(async () => {
  house = await served({
    reports: {
      kinds: ['season', 'work-list'],
      make: async (kind, format, params) => {
        made.push([kind, format, params])
        if (params.tnk) throw new QueryProblem('unknown-param', 'work-list has no param tnk')
        if (format === 'pdf') throw new RequestRefused('there is no browser to print with', 503, 'no-printer')
        return format === 'xlsx' ? new Uint8Array([0x50, 0x4b]) : '<!doctype html><title>Work list</title>'
      },
    },
  })
})
afterAll(() => house.close())

describe('GET /api/reports/KIND', () => {
  test('gives the printable page unless told, with the params of its questions', async () => {
    const response = await house.app.request('/api/reports/work-list?tank=K-1&as_of=2026-07-31')
    expect(response.status).toBe(200)
    expect(response.headers.get('Content-Type')).toBe('text/html; charset=utf-8')
    expect(response.headers.get('Content-Disposition')).toBe(
      'inline; filename="work-list-K-1-2026-07-31.html"',
    )
    expect(await response.text()).toContain('Work list')
    expect(made.at(-1)).toEqual(['work-list', 'html', { tank: 'K-1', as_of: '2026-07-31' }])
  })

  test('a workbook is a file to keep', async () => {
    const response = await house.app.request('/api/reports/work-list?format=xlsx')
    expect(response.headers.get('Content-Type')).toContain('spreadsheetml')
    expect(response.headers.get('Content-Disposition')).toBe('attachment; filename="work-list.xlsx"')
    expect(new Uint8Array(await response.arrayBuffer())).toEqual(new Uint8Array([0x50, 0x4b]))
  })

  test('is made once as long as nothing changes', async () => {
    const first = await house.app.request('/api/reports/season')
    const tag = first.headers.get('ETag')!
    const count = made.length
    const again = await house.app.request('/api/reports/season', { headers: { 'If-None-Match': tag } })
    expect([again.status, made.length]).toEqual([304, count])
    house.setFingerprint('another')
    expect(
      (await house.app.request('/api/reports/season', { headers: { 'If-None-Match': tag } })).status,
    ).toBe(200)
  })

  test.each([
    ['/api/reports/work-lst', 404, /did you mean work-list\?/],
    ['/api/reports/season?format=docx', 422, /format=docx is none of html, pdf, xlsx/],
    ['/api/reports/season?format=pdf', 503, /no browser to print with/],
    ['/api/reports/work-list?tnk=K-1', 422, /has no param tnk/],
  ])('%s is refused with what to do', async (path, status, detail) => {
    const response = await house.app.request(path)
    expect(response.status).toBe(status)
    expect(response.headers.get('Content-Type')).toBe('application/problem+json')
    expect(((await response.json()) as { detail: string }).detail).toMatch(detail)
  })

  test('a hostile name stays inside the header', async () => {
    const response = await house.app.request('/api/reports/season?tank=%22%0d%0aX-Bad%3a1')
    expect(response.headers.get('Content-Disposition')).toMatch(/^inline; filename="season-[\w.-]+\.html"$/)
    expect(response.headers.get('X-Bad')).toBeNull()
  })
})
