import { afterAll, beforeAll, expect, test } from 'vitest'
import { type Served, served } from './served.ts'

let house: Served
beforeAll(async () => {
  house = await served()
})
afterAll(() => house.close())

type Operation = {
  parameters?: { name: string; in: string; schema: object }[]
  responses: Record<string, { content?: object }>
}
type Document = {
  openapi: string
  paths: Record<string, Record<string, Operation>>
  components: { schemas: Record<string, object> }
}

test('the description covers every question and every route, and its references lead somewhere', async () => {
  const response = await house.app.request('/openapi.json')
  const document = (await response.json()) as Document
  expect(document.openapi).toBe('3.1.0')
  for (const question of house.deps.catalogue.list()) {
    const operation = document.paths[`/api/queries/${question.name}`]!.get!
    const names = operation.parameters!.map((parameter) => parameter.name)
    expect(names).toEqual([...question.params.map((param) => param.name), 'format', 'limit', 'offset'])
  }
  const text = JSON.stringify(document)
  for (const [, name] of text.matchAll(/"#\/components\/schemas\/(\w+)"/g)) {
    expect(document.components.schemas).toHaveProperty(name!)
  }
  expect(text).toContain('"finding_id"')
  for (const path of ['/api/ingest', '/api/amendments']) expect(document.paths[path]).toHaveProperty('post')
  const gallons = document.paths['/api/queries/gallons-by-fire']!.get!.responses['200']!
  expect(JSON.stringify(gallons)).toContain(
    '"gallons":{"type":["number","null"],"description":"US gal delivered"}',
  )
  const headers = { 'If-None-Match': response.headers.get('ETag')! }
  expect((await house.app.request('/openapi.json', { headers })).status).toBe(304)
})

test('every path that is described answers to its methods', async () => {
  const document = (await (await house.app.request('/openapi.json')).json()) as Document
  for (const [path, operations] of Object.entries(document.paths)) {
    const real = path.replace('{kind}', 'drop').replace('{id}', 'D-1')
    const wrong = await house.app.request(real, { method: 'PUT' })
    expect([real, wrong.status]).toEqual([real, 405])
    const allowed = wrong.headers.get('Allow')!.split(', ')
    for (const method of Object.keys(operations)) expect(allowed).toContain(method.toUpperCase())
  }
})
