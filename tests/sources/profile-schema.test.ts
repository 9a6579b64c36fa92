import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { kinds } from '../../src/kinds/index.ts'
import { profileJsonSchema, profileSchemaText } from '../../src/sources/index.ts'

const shipped = join(import.meta.dirname, '../../sample-logs/profile.schema.json')

test('the shipped schema is the one that the record kinds make (else: npx tsx tests/sources/write-schema.ts)', () => {
  expect(readFileSync(shipped, 'utf8')).toBe(profileSchemaText())
})

test('it knows every kind, every field without its unit suffix, and position', () => {
  const text = JSON.stringify(profileJsonSchema())
  for (const kind of kinds) expect(text).toContain(`"const":"${kind.name}"`)
  for (const name of ['"volume"', '"volume_gal"', '"position"', '"groundspeed"', '"gauge_before"']) {
    expect(text).toContain(name)
  }
  expect(profileJsonSchema()).toMatchObject({
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    required: ['profile', 'headers', 'records'],
    additionalProperties: false,
  })
})
