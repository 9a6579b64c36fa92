import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { kinds } from '../../src/kinds/index.ts'
import { isProblem, parseProfile, profileJsonSchema, profileSchemaText } from '../../src/sources/index.ts'
import { profileUnits } from '../../src/sources/profile-spec.ts'

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

test('the page about profiles has an example that reads, and names every part and unit', () => {
  const page = readFileSync(join(import.meta.dirname, '../../sample-logs/profiles.md'), 'utf8')
  const example = /```json\n([\s\S]*?)```/.exec(page)![1]!
  expect(isProblem(parseProfile(example, 'profiles.md'))).toBe(false)
  const said = (part: string) => expect(page, part).toMatch(new RegExp(`\\b${part}\\b`))
  const schema = profileJsonSchema() as { properties: Record<string, unknown> }
  for (const part of Object.keys(schema.properties)) if (!/^(\$schema|notes)$/.test(part)) said(part)
  for (const unit of profileUnits) said(unit)
})
