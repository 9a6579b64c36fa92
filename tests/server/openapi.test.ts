import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { loadCatalogue } from '../../src/catalogue/index.ts'
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

test('it has the structure of OpenAPI 3.1: every operation answers, every param has a place, a schema and words', async () => {
  const document = (await (await house.app.request('/openapi.json')).json()) as Document & {
    info: { title: string; version: string }
  }
  expect(document.info.title).not.toBe('')
  expect(document.info.version).not.toBe('')
  const operationIds: string[] = []
  for (const [path, item] of Object.entries(document.paths)) {
    expect(path).toMatch(/^\//)
    for (const [method, operation] of Object.entries(item)) {
      expect(['get', 'post', 'parameters']).toContain(method)
      const where = `${method} ${path}`
      // OpenAPI 3.1.0 §4.8.16: at least one response, each with a description or a reference.
      expect([where, Object.keys(operation.responses).length > 0]).toEqual([where, true])
      for (const [status, response] of Object.entries(operation.responses)) {
        expect(status).toMatch(/^([1-5]\d\d|default)$/)
        const told = response as { description?: string; $ref?: string }
        expect([where, status, Boolean(told.description ?? told.$ref)]).toEqual([where, status, true])
      }
      // §4.8.12: name, place and schema; a param of the path is required and stands in it.
      const known = new Set<string>()
      for (const parameter of operation.parameters ?? []) {
        const { name, in: place, schema } = parameter
        const { required, description } = parameter as { required?: boolean; description?: string }
        expect(['path', 'query', 'header']).toContain(place)
        expect([where, name, typeof schema]).toEqual([where, name, 'object'])
        expect([where, name, Boolean(description)]).toEqual([where, name, true])
        expect(known.has(`${place} ${name}`)).toBe(false)
        known.add(`${place} ${name}`)
        if (place === 'path') expect([required, path.includes(`{${name}}`)]).toEqual([true, true])
      }
      for (const [, name] of path.matchAll(/\{(\w+)\}/g)) expect(known).toContain(`path ${name}`)
      const { operationId } = operation as { operationId?: string }
      if (operationId) operationIds.push(operationId)
    }
  }
  expect(new Set(operationIds).size).toBe(operationIds.length)
  for (const [, target] of JSON.stringify(document).matchAll(/"#\/components\/([\w/]+)"/g)) {
    const found = target!
      .split('/')
      .reduce<unknown>((at, name) => (at as Record<string, unknown> | undefined)?.[name], document.components)
    expect(found, target).toBeDefined()
  }
})

test('every param of every built-in question says what it is', () => {
  const folder = fileURLToPath(new URL('../../queries/answers', import.meta.url))
  for (const question of loadCatalogue({ folders: { builtIn: folder } }).list())
    for (const param of question.params)
      expect([question.name, param.name, param.about !== '']).toEqual([question.name, param.name, true])
})
