import { z } from 'zod'
import { profileSpec } from './profile-spec.ts'

/** JSON Schema of profiles, for editors; made from the record kinds. */
export function profileJsonSchema(): Record<string, unknown> {
  const schema = z.toJSONSchema(profileSpec, { io: 'input' })
  return { ...schema, title: 'How to read a log file' }
}
