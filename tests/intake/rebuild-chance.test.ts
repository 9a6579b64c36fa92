import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { fullSchema } from '../../src/commands/schema.ts'
import { ingest, unaccountedSql } from '../../src/intake/index.ts'
import { rebuildObservations } from '../../src/intake/rebuild.ts'
import { kinds, tableName } from '../../src/kinds/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'
import fc from '../chance.ts'

const now = () => new Date('2026-09-01')

/** A night's drops in local time of a zone whose clocks go back on 1 November 2026, at 09:00 UTC. */
const nightly = (profile: string, sends: string, headers: readonly string[]): string =>
  JSON.stringify({
    profile,
    sends,
    headers,
    zone: 'America/Los_Angeles',
    records: [
      {
        kind: 'drop',
        witness: 'crew',
        fields: {
          dropped_at: { from: 'when' },
          aircraft: { from: 'tail' },
          volume: { from: 'gal' },
          record: { from: 'no' },
        },
      },
    ],
  })
const local = nightly('drops-of-the-night', 'increment', ['when', 'tail', 'gal', 'part'])
const whole = nightly('drops-so-far', 'whole', ['when', 'tail', 'gal', 'whole'])

/** What a season's parts are made of: lines that return, change, are dropped, cannot be read, and are mended later. */
const line = fc.record({
  day: fc.constantFrom('2026-11-01', '2026-11-01', '2026-11-03', '2027-01-05'),
  minute: fc.constantFrom('00:50', '01:10', '01:10', '23:59'),
  tail: fc.constantFrom('N801ZY', 'N801ZY', 'N802ZY', 'N803ZY'),
  gal: fc.constantFrom('800', '800', '650', '', 'much'),
  no: fc.constantFrom('', '', '1', '2'),
})
const file = fc.record({
  form: fc.constantFrom('local', 'local', 'whole', 'canonical', 'tickets', 'registry'),
  /** Begins with the lines of the file of its form before it. */
  goesOn: fc.boolean(),
  leavesOut: fc.nat(3),
  lines: fc.array(line, { minLength: 2, maxLength: 9 }),
})

type Line = { day: string; minute: string; tail: string; gal: string; no: string }

const forms: Record<string, { head: string; row: (one: Line) => string }> = {
  local: { head: 'when,tail,gal,no,part', row: (o) => `${o.day} ${o.minute},${o.tail},${o.gal},${o.no},x` },
  whole: { head: 'when,tail,gal,no,whole', row: (o) => `${o.day} ${o.minute},${o.tail},${o.gal},${o.no},x` },
  canonical: {
    head: 'dropped_at,aircraft,volume_gal,record',
    row: (o) => `${o.day}T${o.minute}:00Z,${o.tail},${o.gal},${o.no}`,
  },
  tickets: {
    head: 'loaded_at,aircraft,base,ticket,volume_gal',
    row: (o) => `${o.day}T${o.minute}:00Z,${o.tail},Home,${o.no === '' ? '' : `T-${o.no}`},${o.gal}`,
  },
  registry: { head: 'registration', row: (o) => o.tail },
}

async function standing(warehouse: Warehouse): Promise<Record<string, unknown>> {
  const tables = ['quarantine', 'finding', 'reference', ...kinds.map((kind) => tableName(kind.name))]
  const found: Record<string, unknown> = {}
  for (const table of tables) found[table] = await warehouse.rows(`SELECT * FROM obs.${table} ORDER BY ALL`)
  found.corrected = await warehouse.rows('SELECT * EXCLUDE (checked_to) FROM obs.corrected ORDER BY ALL')
  found.file = await warehouse.rows('SELECT * FROM raw.file ORDER BY file_no')
  return found
}

test('files that come one by one leave the rows, counts and findings that all of them together leave', async () => {
  let findings = 0
  await fc.assert(
    fc.asyncProperty(fc.array(file, { minLength: 3, maxLength: 6 }), async (files) => {
      const folder = await mkdtemp(join(tmpdir(), 'gallonage-parts-'))
      const profiles = [join(folder, 'night.json'), join(folder, 'whole.json')]
      const warehouse = await Warehouse.memory(fullSchema)
      try {
        await writeFile(profiles[0]!, local)
        await writeFile(profiles[1]!, whole)
        await writeFile(join(folder, 'aircraft-0.csv'), 'registration\nN801ZY\n')
        await ingest(warehouse, [join(folder, 'aircraft-0.csv')], [], { now })
        const before = new Map<string, Line[]>()
        for (const [at, one] of files.entries()) {
          const { head, row } = forms[one.form]!
          const old = one.goesOn ? (before.get(one.form) ?? []).filter((_, i) => i !== one.leavesOut) : []
          const lines = [...old, ...one.lines]
          before.set(one.form, lines)
          const path = join(folder, `part-${at}.csv`)
          await writeFile(path, `${[head, ...lines.map(row)].join('\n')}\n`)
          const report = await ingest(warehouse, [path], profiles, { now })
          expect(report.files[0]!.profile).not.toBeNull()
        }
        expect(await warehouse.rows(unaccountedSql)).toEqual([])
        const parts = await standing(warehouse)
        findings += (parts.finding as unknown[]).length
        await rebuildObservations(warehouse)
        expect(await standing(warehouse)).toEqual(parts)
      } finally {
        await warehouse.close()
        await rm(folder, { recursive: true, force: true })
      }
    }),
    { numRuns: 6 },
  )
  expect(findings).toBeGreaterThan(3)
}, 300_000)
