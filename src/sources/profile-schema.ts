import { z } from 'zod'
import { profileSpec } from './profile-spec.ts'

/** JSON Schema of profiles (draft 2020-12), for editors; made from the record kinds, so that it cannot lag behind. */
export function profileJsonSchema(): Record<string, unknown> {
  return { ...z.toJSONSchema(profileSpec, { io: 'input', reused: 'ref' }), title: 'How to read a log file' }
}

/** The same as a file's text. */
export function profileSchemaText(): string {
  return `${JSON.stringify(profileJsonSchema(), null, 1)}\n`
}
