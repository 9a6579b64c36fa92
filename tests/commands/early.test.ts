import { execFileSync } from 'node:child_process'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { main } from '../../src/commands/main.ts'
import { fullSchema } from '../../src/commands/schema.ts'
import { databaseIn } from '../../src/warehouse/folder.ts'
import { Warehouse } from '../../src/warehouse/index.ts'
import { beginOpening, opened } from '../../src/warehouse/opening.ts'

const cli = resolve(import.meta.dirname, '../../dist/cli.js')
let folder: string

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'gallonage-early-'))
  await (await Warehouse.open(folder, fullSchema)).close()
})
afterAll(() => rm(folder, { recursive: true }))

/** Asks from another process, which cannot while this one holds the file. */
const askElsewhere = (): string =>
  execFileSync(process.execPath, [cli, 'query', 'drops', '--warehouse', folder, '--json'], {
    encoding: 'utf8',
  })

test.each([
  [['query', 'drops', '--bogus', '--warehouse', 'FOLDER'], 2],
  [['query', 'drops', '--warehouse=FOLDER', '--json'], 0],
])('after the command line %j nothing holds the warehouse', async (line, code) => {
  const argv = line.map((word) => word.replace('FOLDER', folder))
  const effects = {
    out: () => undefined,
    err: () => undefined,
    outBytes: () => undefined,
    isTerminal: false,
    columns: 120,
    hasColor: false,
    cwd: tmpdir(),
    env: {},
    now: () => new Date(),
    stopped: new Promise<void>(() => undefined),
  }
  expect(await main(argv, effects, 'test')).toBe(code)
  expect(JSON.parse(askElsewhere())).toEqual([])
})

test('what began to open is taken once; what nobody took is closed', async () => {
  const leave = beginOpening(databaseIn(folder))
  const warehouse = await Warehouse.open(folder, fullSchema)
  await leave()
  expect(await warehouse.value('SELECT count(*) FROM raw.file')).toBe(0)
  await warehouse.close()
  await beginOpening(databaseIn(folder))()
  expect(JSON.parse(askElsewhere())).toEqual([])
})

test('what went wrong is said to who asks', async () => {
  const nowhere = join(folder, 'none', 'gallonage.duckdb')
  const leave = beginOpening(nowhere)
  await expect(opened(nowhere)).rejects.toThrow(/none/)
  await leave()
  await beginOpening(nowhere)()
})
