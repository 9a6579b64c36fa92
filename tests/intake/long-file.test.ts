import { rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { afterAll, expect, test } from 'vitest'
import { fullSchema } from '../../src/commands/schema.ts'
import { Layouts, landRows } from '../../src/intake/land.ts'
import { canonicalProfiles, foundFile, isProblem, prepare, recognize } from '../../src/sources/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'
import { folderOf } from './folder.ts'

let logs: string | null = null
afterAll(async () => {
  if (logs) await rm(logs, { recursive: true, force: true })
})

/** More than four portions of the reader, so that its threads meet in the middle of the file and at the seams of buffers. */
const bytes = 34_000_000

const lines = (width: number, quoted: string): string[] => {
  const count = Math.floor(bytes / (width + 44))
  return Array.from(
    { length: count },
    (_, i) =>
      `${new Date(1_780_000_000_000 + i * 60_000).toISOString()},N801ZY,${i % 3000},R-${i},${quoted}${'x'.repeat(width + (i % 3))}${quoted}`,
  )
}

/** Widths at which portions begin anywhere in a line; cells in quotes make a clean copy of the file. */
test.each([
  ['plain', 8, '', false],
  ['plain', 31, '', false],
  ['plain and packed', 13, '', true],
  ['with quotes', 11, '"', false],
])('a file of many portions, %s, lands every line in its place (%i)', async (_, width, quoted, isPacked) => {
  const text = `dropped_at,aircraft,volume_gal,record,fire\n${lines(width, quoted).join('\n')}\n`
  logs ??= await folderOf({})
  const path = join(logs, isPacked ? 'drop.csv.gz' : 'drop.csv')
  await writeFile(path, isPacked ? gzipSync(text, { level: 1 }) : text)
  const file = await foundFile(path)
  const recognized = await recognize(file, canonicalProfiles())
  if (isProblem(recognized)) throw new Error(recognized.what)
  const landing = await prepare(file, recognized, join(logs, 'scratch'))
  if (isProblem(landing)) throw new Error(landing.what)
  const warehouse = await Warehouse.memory(fullSchema)
  try {
    const layoutNo = await (await Layouts.read(warehouse)).of(landing)
    expect(await landRows(warehouse, 1, layoutNo, file, recognized, landing)).toBeNull()
    expect(
      await warehouse.rows(
        `SELECT count(*)::INTEGER AS rows, count(problem)::INTEGER AS problems, count(DISTINCT line)::INTEGER AS lines,
           count(*) FILTER (c4 = 'R-' || (line - 2))::INTEGER AS placed FROM raw.layout_${layoutNo}`,
      ),
    ).toEqual([{ rows: landing.rowCount, problems: 0, lines: landing.rowCount, placed: landing.rowCount }])
    expect(landing.rowCount).toBe(lines(width, quoted).length)
  } finally {
    await warehouse.close()
  }
})
