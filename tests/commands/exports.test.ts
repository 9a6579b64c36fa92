import { createHash } from 'node:crypto'
import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { csvParse } from 'd3-dsv'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { csvCell } from '../../src/catalogue/index.ts'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'
import { workedExampleFiles } from '../simulator/worked-example.ts'

let house: House
let scratch: string

beforeAll(async () => {
  scratch = await mkdtemp(join(tmpdir(), 'gallonage-exports-'))
  house = await House.open()
  await house.ingest(
    await folderOf(Object.fromEntries(workedExampleFiles.map((file) => [file.path, file.text]))),
  )
})
afterAll(async () => {
  await house.close()
  await rm(scratch, { recursive: true })
})

test('a closed season’s manifest names every file with the SHA-256 and the rows that it has', async () => {
  const out = join(scratch, 'closed')
  const empty = await house.say('close', '2031', '--out', join(scratch, 'closed-2031'))
  expect(empty).toMatchObject({
    code: 1,
    err: expect.stringContaining('nothing is on record in season 2031'),
  })
  expect((await house.say('close', '2026', '--by', 'A. Manager', '--out', out)).code).toBe(0)
  const manifest = JSON.parse(await readFile(join(out, 'manifest.json'), 'utf8'))
  const written = (await readdir(out)).filter((name) => name !== 'manifest.json').sort()
  expect(manifest.tables.map((table: { file: string }) => table.file).sort()).toEqual(written)
  for (const { file, sha256, rows } of manifest.tables) {
    const bytes = await readFile(join(out, file))
    expect([file, createHash('sha256').update(bytes).digest('hex')]).toEqual([file, sha256])
    const path = join(out, file).replaceAll("'", "''")
    expect([file, await house.warehouse.value(`SELECT count(*) FROM '${path}'`)]).toEqual([file, rows])
  }
  const changed = Buffer.from(await readFile(join(out, 'drops.parquet')))
  changed[changed.length >> 1]! ^= 1
  const drops = manifest.tables.find((table: { file: string }) => table.file === 'drops.parquet')
  expect(createHash('sha256').update(changed).digest('hex')).not.toBe(drops.sha256)
})

test('Parquet is partitioned by season, and holds what the question gives', async () => {
  const out = join(scratch, 'parquet')
  expect((await house.say('export', '--out', out)).code).toBe(0)
  expect(await readdir(join(out, 'drops'))).toEqual(['season_part=2026'])
  const files = `${out.replaceAll("'", "''")}/drops/*/*.parquet`
  const sums = await house.warehouse.rows(
    `SELECT count(*) AS n, sum(volume_gal) AS gallons FROM read_parquet('${files}', hive_partitioning = true) WHERE season_part = 2026`,
  )
  const drops = await house.rows<{ volume_gal: number | null }>('drops')
  expect(sums).toEqual([
    { n: drops.length, gallons: drops.reduce((sum, drop) => sum + (drop.volume_gal ?? 0), 0) },
  ])
})

test('CSV reads back as the same rows, nothing known as an empty cell', async () => {
  const out = join(scratch, 'csv')
  expect((await house.say('export', '--format', 'csv', '--out', out)).code).toBe(0)
  const rows = csvParse(await readFile(join(out, 'drops.csv'), 'utf8'))
  const drops = await house.rows<{ drop: string; volume_gal: number | null; latitude: number | null }>(
    'drops',
  )
  expect(
    rows
      .map((row) => [
        row.drop,
        row.volume_gal === '' ? null : Number(row.volume_gal),
        row.latitude === '' ? null : Number(row.latitude),
      ])
      .sort(),
  ).toEqual(drops.map((drop) => [drop.drop, drop.volume_gal, drop.latitude]).sort())
})

test('a cell that a spreadsheet would run is only text; a number stays a number', () => {
  for (const cell of ['=1+1', '+cmd', '-2+3', '@x', '\tx', '＝1+1', "=cmd|'/C calc'!A0"])
    expect(csvCell(cell, 'text').replace(/^"/, '')).toMatch(/^'/)
  for (const cell of ['-5', '+5', '-0.25', '12', 'INV-1', 'a=b']) expect(csvCell(cell, 'text')).toBe(cell)
  expect(csvCell(-5, 'number')).toBe('-5')
  expect(csvCell('-17.50', 'money')).toBe('-17.50')
})

test('GeoJSON has the structure of RFC 7946', async () => {
  const out = join(scratch, 'geojson')
  expect((await house.say('export', '--format', 'geojson', '--out', out)).code).toBe(0)
  const collection = JSON.parse(await readFile(join(out, 'drops.geojson'), 'utf8'))
  // §3.3: type and features; §4: no crs.
  expect(Object.keys(collection).sort()).toEqual(['features', 'type'])
  expect(collection.type).toBe('FeatureCollection')
  expect(collection.features.length).toBeGreaterThan(0)
  const ids = new Set<string>()
  for (const feature of collection.features) {
    // §3.2: type, geometry, properties, and an id that is a string or a number.
    expect(Object.keys(feature).sort()).toEqual(['geometry', 'id', 'properties', 'type'])
    expect(feature.type).toBe('Feature')
    expect(typeof feature.id).toBe('string')
    ids.add(feature.id)
    expect(feature.properties).not.toBeNull()
    // §3.1.1, §3.1.2: a point is one position, longitude before latitude.
    expect(feature.geometry.type).toBe('Point')
    const [longitude, latitude, ...rest] = feature.geometry.coordinates
    expect(rest).toEqual([])
    expect(Math.abs(longitude)).toBeLessThanOrEqual(180)
    expect(Math.abs(latitude)).toBeLessThanOrEqual(90)
  }
  expect(ids.size).toBe(collection.features.length)
})
