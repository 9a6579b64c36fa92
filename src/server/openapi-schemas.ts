import { z } from 'zod'
import type { ColumnKind, ParamType } from '../catalogue/index.ts'

export type Json = { [name: string]: unknown }

export const problemSchema = z
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

export const ingestSchema = z.object({
  files: z.array(
    z.object({ path: z.string(), profile: z.string().nullable(), problem: z.string().optional(), ...counts }),
  ),
  totals: z.object(counts),
  problems: z.array(z.string()).optional(),
  profiles: z.array(z.string()).optional(),
})

export const statusSchema = z.looseObject({
  fingerprint: z.string(),
  seasons: z.array(z.string()),
  counts: z.record(z.string(), z.number()),
  last_arrival: z.string().nullable(),
  last_days: z.record(z.string(), z.string()).optional(),
  home_zone: z.string().nullable(),
})

export const querySchema = z.object({
  name: z.string(),
  title: z.string(),
  grain: z.string(),
  params: z.array(z.string()),
  columns: z.array(z.object({ name: z.string(), about: z.string() })),
  notes: z.array(z.string()),
})

export const paramSchemas: Readonly<Record<ParamType, Json>> = {
  text: { type: 'string', maxLength: 2000 },
  day: { type: 'string', format: 'date' },
  number: { type: 'number' },
}

export const columnSchemas: Readonly<Record<ColumnKind, Json>> = {
  text: { type: ['string', 'null'] },
  integer: { type: ['integer', 'null'] },
  number: { type: ['number', 'null'] },
  money: { type: ['string', 'null'], pattern: '^-?\\d+\\.\\d+$' },
  boolean: { type: ['boolean', 'null'] },
  time: { type: ['string', 'null'], format: 'date-time' },
  day: { type: ['string', 'null'], format: 'date' },
  list: { type: ['array', 'null'], items: { type: 'string' } },
}

export function schemaOf(schema: z.ZodType): Json {
  const { $schema: _, ...rest } = z.toJSONSchema(schema, { io: 'input' }) as Json
  return rest
}

export function ref(name: string): Json {
  return { $ref: `#/components/schemas/${name}` }
}

export const problemResponse = { $ref: '#/components/responses/Problem' }

export function answered(schema: Json, description: string): Json {
  return {
    200: { description, content: { 'application/json': { schema } } },
    304: { $ref: '#/components/responses/Unchanged' },
    default: problemResponse,
  }
}

export const binary = { type: 'string', format: 'binary' }
