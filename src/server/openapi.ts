import type { Context } from 'hono'
import { z } from 'zod'
import { type ColumnKind, commonParams, type ParamType, type Question } from '../catalogue/index.ts'
import type { ServerEnv } from './accounts.ts'
import { amendmentSchema } from './amendment.ts'
import type { ServerDeps } from './deps.ts'
import { entityTag, isKnown, notModified } from './etag.ts'
import { mediaTypes } from './formats.ts'
import { evidenceKinds } from './records-routes.ts'
import { reportFormats } from './report-formats.ts'

type Json = { [name: string]: unknown }

const problemSchema = z
  .looseObject({
    type: z.string(),
    title: z.string(),
    status: z.number().int(),
    detail: z.string(),
    suggestion: z.string().optional(),
  })
  .describe('RFC 9457 problem document')

const counts = {
  read: z.number().int(),
  accepted: z.number().int(),
  duplicate: z.number().int(),
  superseded: z.number().int(),
  quarantined: z.number().int(),
}

const ingestSchema = z.object({
  files: z.array(
    z.object({ path: z.string(), profile: z.string().nullable(), problem: z.string().optional(), ...counts }),
  ),
  totals: z.object(counts),
})

const statusSchema = z.looseObject({
  fingerprint: z.string(),
  seasons: z.array(z.string()),
  counts: z.record(z.string(), z.number()),
  last_arrival: z.string().nullable(),
  last_days: z.record(z.string(), z.string()).optional(),
  home_zone: z.string().nullable(),
})

const querySchema = z.object({
  name: z.string(),
  title: z.string(),
  grain: z.string(),
  params: z.array(z.string()),
  columns: z.array(z.object({ name: z.string(), about: z.string() })),
  notes: z.array(z.string()),
})

const paramSchemas: Readonly<Record<ParamType, Json>> = {
  text: { type: 'string', maxLength: 2000 },
  day: { type: 'string', format: 'date' },
  number: { type: 'number' },
}

const columnSchemas: Readonly<Record<ColumnKind, Json>> = {
  text: { type: ['string', 'null'] },
  integer: { type: ['integer', 'null'] },
  number: { type: ['number', 'null'] },
  money: { type: ['string', 'null'], pattern: '^-?\\d+\\.\\d+$' },
  boolean: { type: ['boolean', 'null'] },
  time: { type: ['string', 'null'], format: 'date-time' },
  day: { type: ['string', 'null'], format: 'date' },
  list: { type: ['array', 'null'], items: { type: 'string' } },
}

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
  const paths: Record<string, Json> = { ...fixedPaths }
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

function schemaOf(schema: z.ZodType): Json {
  const { $schema: _, ...rest } = z.toJSONSchema(schema, { io: 'input' }) as Json
  return rest
}

function ref(name: string): Json {
  return { $ref: `#/components/schemas/${name}` }
}

const problemResponse = { $ref: '#/components/responses/Problem' }

function answered(schema: Json, description: string): Json {
  return {
    200: { description, content: { 'application/json': { schema } } },
    304: { $ref: '#/components/responses/Unchanged' },
    default: problemResponse,
  }
}

const binary = { type: 'string', format: 'binary' }

const reportParams = [
  { name: 'units', about: 'us unless told', schema: { type: 'string', enum: ['us', 'metric'] } },
  { name: 'zone', about: 'IANA zone of the times; UTC unless told', schema: { type: 'string' } },
  ...['season', 'from', 'to', 'aircraft', 'tank', 'invoice', 'contract', 'as_of'].map((name) => ({
    name,
    about: commonParams[name]!.about,
    schema: paramSchemas[commonParams[name]!.type],
  })),
]

const fixedPaths: Record<string, Json> = {
  '/healthz': {
    get: { summary: 'Whether the server is up', responses: answered({ type: 'object' }, 'It is') },
  },
  '/api/queries': {
    get: {
      summary: 'Every question that can be asked',
      responses: answered({ type: 'array', items: ref('Query') }, 'The questions'),
    },
  },
  '/api/status': {
    get: {
      summary: 'What the warehouse holds',
      responses: answered(ref('Status'), 'The state of the records'),
    },
  },
  '/api/evidence/{kind}/{id}': {
    get: {
      summary: 'Everything behind one record, down to file and line',
      parameters: [
        {
          name: 'kind',
          in: 'path',
          required: true,
          description: 'kind of record',
          schema: { type: 'string', enum: [...evidenceKinds] },
        },
        {
          name: 'id',
          in: 'path',
          required: true,
          description: 'id of the record; an invoice line is CONTRACT/INVOICE/LINE',
          schema: { type: 'string' },
        },
      ],
      responses: answered({ type: 'object' }, 'The evidence'),
    },
  },
  '/api/reports/{kind}': {
    get: {
      summary: 'A printable report, with the params of its questions (tank, season, as_of, …)',
      parameters: [
        {
          name: 'kind',
          in: 'path',
          required: true,
          description: 'season, maintenance, contract, statement, work-list or conversion',
          schema: { type: 'string' },
        },
        {
          name: 'format',
          in: 'query',
          description: 'html unless told',
          schema: { type: 'string', enum: Object.keys(reportFormats) },
        },
        ...reportParams.map(({ name, about, schema }) => ({
          name,
          in: 'query',
          description: about,
          schema,
        })),
      ],
      responses: {
        200: {
          description: 'The report',
          content: Object.fromEntries(
            Object.values(reportFormats).map((media) => [media.split(';')[0]!, { schema: binary }]),
          ),
        },
        304: { $ref: '#/components/responses/Unchanged' },
        default: problemResponse,
      },
    },
  },
  '/api/events': {
    get: {
      summary: 'Server-sent events: "change" with the fingerprint whenever the records change',
      responses: {
        200: { description: 'The events', content: { 'text/event-stream': { schema: { type: 'string' } } } },
      },
    },
  },
  '/api/ingest': {
    post: {
      summary: 'Takes in a file, several files of a form, or JSON lines',
      parameters: [
        {
          name: 'name',
          in: 'query',
          description: 'name of the file when the body is the file itself',
          schema: { type: 'string' },
        },
        {
          name: 'Idempotency-Key',
          in: 'header',
          description: 'the same key with the same content is done once',
          schema: { type: 'string', maxLength: 500 },
        },
      ],
      requestBody: {
        required: true,
        content: {
          'multipart/form-data': {
            schema: { type: 'object', properties: { file: { type: 'array', items: binary } } },
          },
          'application/octet-stream': { schema: binary },
          'text/csv': { schema: { type: 'string' } },
          'application/x-ndjson': { schema: { type: 'string' } },
        },
      },
      responses: {
        200: {
          description: 'What became of every row',
          content: { 'application/json': { schema: ref('Arrivals') } },
        },
        default: problemResponse,
      },
    },
  },
  '/api/amendments': {
    post: {
      summary: 'Records a correction by a person, with its reason',
      requestBody: { required: true, content: { 'application/json': { schema: ref('Amendment') } } },
      responses: {
        200: {
          description: 'It is recorded, and every answer follows it',
          content: { 'application/json': { schema: { type: 'object' } } },
        },
        default: problemResponse,
      },
    },
  },
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
