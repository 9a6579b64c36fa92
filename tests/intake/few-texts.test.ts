import { rm } from 'node:fs/promises'
import { expect, test } from 'vitest'
import { fullSchema } from '../../src/commands/schema.ts'
import { ingest } from '../../src/intake/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'
import { folderOf } from './folder.ts'

test('in a large file with few different texts, weights still take the density of their row', async () => {
  const texts: [string, string][] = [
    ['8330 lb', 'water'],
    ['8330 lb', 'retardant'],
    ['1,000', 'water'],
    ['3785.411784 L', 'gel'],
    ['see ticket', 'water'],
    ['8330 lb', ''],
  ]
  const count = 24_000
  const lines = Array.from({ length: count }, (_, i) => {
    const [volume, fluid] = texts[i % texts.length]!
    const at = new Date(Date.UTC(2026, 5, 1) + i * 60_000).toISOString()
    return `${at},N801ZY,"${volume}",${fluid}`
  })
  const logs = await folderOf({
    'aircraft.csv': 'registration\nN801ZY\n',
    'drop.csv': `dropped_at,aircraft,volume_gal,fluid\n${lines.join('\n')}\n`,
  })
  const warehouse = await Warehouse.memory(fullSchema)
  await ingest(warehouse, [logs], [], { now: () => new Date('2026-09-01') })
  const read = await warehouse.rows(`
    SELECT (line_no - 2) % 6 AS kind, fate, round(min(volume_gal), 6) AS least, round(max(volume_gal), 6) AS most, count(*)::INTEGER AS rows
    FROM obs.drop GROUP BY 1, 2 ORDER BY 1`)
  // Pounds per gallon: water 8.33, retardant 9.03; without a fluid a weight is no volume.
  const one = (kind: number, fate: string, volume: number | null) => ({
    kind,
    fate,
    least: volume,
    most: volume,
    rows: count / 6,
  })
  expect(read).toEqual([
    one(0, 'accepted', 1000),
    one(1, 'accepted', 922.48062),
    one(2, 'accepted', 1000),
    one(3, 'accepted', 1000),
    one(4, 'quarantined', null),
    one(5, 'quarantined', null),
  ])
  await warehouse.close()
  await rm(logs, { recursive: true, force: true })
}, 120_000)
