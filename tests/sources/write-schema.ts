import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { profileSchemaText } from '../../src/sources/index.ts'

writeFileSync(join(import.meta.dirname, '../../sample-logs/profile.schema.json'), profileSchemaText())
