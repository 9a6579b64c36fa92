import type { Context } from 'hono'
import type { Question } from '../catalogue/index.ts'
import type { ServerEnv } from './accounts.ts'
import { amendmentSchema } from './amendment.ts'
import type { ServerDeps } from './deps.ts'
import { entityTag, isKnown, notModified } from './etag.ts'
import { mediaTypes } from './formats.ts'
import { fixedPaths } from './openapi-paths.ts'
import {
  binary,
  columnSchemas,
  ingestSchema,
  type Json,
  paramSchemas,
  problemResponse,
  problemSchema,
  querySchema,
  ref,
  schemaOf,
  statusSchema,
} from './openapi-schemas.ts'

/** `GET /openapi.json`: OpenAPI 3.1, made from the schemas that check requests and from the questions that stand. */
export function openApiRoute(deps: ServerDeps): (c: Context<ServerEnv>) => Promise<Response> {
  let made: Promise<{ document: Json; tag: string }> | null = null
  return async (c) => {
    made ??= openApiDocument(deps).then((document) => ({ document, tag: entityTag(document) }))
    const { document, tag } = await made
    if (isKnown(c.req.header('If-None-Match'), tag)) return notModified(tag)
    return c.json(document, 200, { ETag: tag, 'Cache-Control': 'private, no-cache' })
  }
}

export async function openApiDocument(deps: ServerDeps): Promise<Json> {
  const paths: Record<string, Json> = { ...fixedPaths(deps.reports?.kinds ?? []) }
  for (const question of deps.catalogue.list())
    paths[`/api/queries/${question.name}`] = await questionPath(deps, question)
  return {
    openapi: '3.1.0',
    info: {
      title: 'gallonage',
      version: deps.version ?? '0.0.0',
      description:
        'Questions to a warehouse of airtanker drop logs, the evidence behind their answers, and new records.',
    },
    paths,
    components: {
      schemas: {
        Problem: schemaOf(problemSchema),
        Query: schemaOf(querySchema),
        Status: schemaOf(statusSchema),
        Arrivals: schemaOf(ingestSchema),
        Amendment: schemaOf(amendmentSchema),
      },
      responses: {
        Problem: {
          description: 'What went wrong',
          content: { 'application/problem+json': { schema: ref('Problem') } },
        },
        Unchanged: { description: 'Unchanged since the ETag in If-None-Match' },
      },
      securitySchemes: { basic: { type: 'http', scheme: 'basic' } },
    },
    ...(deps.accounts ? { security: [{ basic: [] }] } : {}),
  }
}

async function questionPath(deps: ServerDeps, question: Question): Promise<Json> {
  const columns = await deps.catalogue.columns(deps.warehouse, question.name).catch(() => [])
  const properties = Object.fromEntries(
    columns.map(({ name, kind, about }) => [
      name,
      { ...columnSchemas[kind], ...(about ? { description: about } : {}) },
    ]),
  )
  const row = { type: 'object', properties, required: columns.map((column) => column.name) }
  const content: Record<string, Json> = {
    [mediaTypes.json]: { schema: { type: 'array', items: row } },
    [mediaTypes.csv]: { schema: { type: 'string' } },
  }
  for (const format of ['arrow', 'xlsx', 'parquet'] as const) content[mediaTypes[format]] = { schema: binary }
  return {
    get: {
      operationId: question.name,
      summary: question.title,
      description: [question.grain, ...question.notes].filter(Boolean).join('\n\n'),
      parameters: [
        ...question.params.map(({ name, type, about }) => ({
          name,
          in: 'query',
          description: about || `${name.replaceAll('_', ' ')}, as the question says`,
          schema: paramSchemas[type],
        })),
        {
          name: 'format',
          in: 'query',
          description: 'instead of Accept',
          schema: { type: 'string', enum: Object.keys(mediaTypes) },
        },
        {
          name: 'limit',
          in: 'query',
          description: 'rows of a page (json, csv)',
          schema: { type: 'integer', minimum: 1 },
        },
        {
          name: 'offset',
          in: 'query',
          description: 'rows before the page (json, csv)',
          schema: { type: 'integer', minimum: 0 },
        },
      ],
      responses: {
        200: { description: question.grain || question.title, content },
        304: { $ref: '#/components/responses/Unchanged' },
        default: problemResponse,
      },
    },
  }
}
