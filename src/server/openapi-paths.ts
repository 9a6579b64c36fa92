import { commonParams } from '../catalogue/index.ts'
import { answered, binary, type Json, paramSchemas, problemResponse, ref } from './openapi-schemas.ts'
import { evidenceKinds } from './records-routes.ts'
import { reportFormats } from './report-formats.ts'

const reportParams = [
  { name: 'units', about: 'us unless told', schema: { type: 'string', enum: ['us', 'metric'] } },
  { name: 'zone', about: 'IANA zone of the times; UTC unless told', schema: { type: 'string' } },
  ...['season', 'from', 'to', 'aircraft', 'tank', 'invoice', 'contract', 'as_of'].map((name) => ({
    name,
    about: commonParams[name]!.about,
    schema: paramSchemas[commonParams[name]!.type],
  })),
]

/** Everything but the questions; the kinds of report are those that can be made. */
export const fixedPaths = (reportKinds: readonly string[]): Record<string, Json> => ({
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
          description: 'kind of report',
          schema: { type: 'string', enum: [...reportKinds] },
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
      summary: 'Takes in a file, several files of a form, or JSON lines; a profile among them is kept',
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
})
