import { createHash } from 'node:crypto'
import { createReadStream, mkdirSync, rmSync } from 'node:fs'
import { mkdtemp, stat } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fullSchema } from '../../src/commands/schema.ts'
import { ingest } from '../../src/intake/index.ts'
import { keepBytes } from '../../src/sources/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'
import { writeLargeDropLog } from '../simulator/large-log.ts'

/**
 * Ingest of one large messy log up to observations, against the floor of the same run: DuckDB's own `read_csv` of the
 * file as text, one hand-written statement that normalises it, and a hash of every row.
 */
export async function benchIngest(rows: number): Promise<void> {
  const folder = await mkdtemp(join(tmpdir(), 'gallonage-bench-'))
  try {
    mkdirSync(join(folder, 'logs'))
    const path = join(folder, 'logs', 'drops.csv')
    const log = await writeLargeDropLog(path, rows, { seed: 7 })
    const mb = Math.round(log.bytes / 1e6)
    console.log(`ingest: ${rows.toLocaleString('en-US')} rows, ${mb} MB`)
    const floor = await timeFloor(join(folder, 'floor'), path)
    const own = await timeIngest(join(folder, 'own'), join(folder, 'logs'))
    const sha256 = await sha256Of(path)
    const found = { path, bytes: log.bytes, modifiedAt: (await stat(path)).mtime }
    const kept = await timed(() => keepBytes(found, sha256, join(folder, 'kept')))
    const whole = sum(floor.read, floor.normalise)
    console.log(
      `  floor: read_csv ${sec(floor.read)}, normalise and hash ${sec(floor.normalise)}, together ${sec(whole)}`,
    )
    console.log(`  most memory: floor ${mbOf(whole.peakBytes)}, gallonage ${mbOf(own.peakBytes)}`)
    console.log(
      `  gallonage up to observations ${sec(own)}, ${Math.round(rows / (own.wallMs / 1000)).toLocaleString('en-US')} rows/s`,
    )
    console.log(
      `  ratio ${(own.wallMs / whole.wallMs).toFixed(2)}, of processor time ${(own.cpuMs / whole.cpuMs).toFixed(2)} (keeping the compressed bytes, apart: ${sec(kept)})`,
    )
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

/** Wall time, and processor time of all threads: the second tells more on a machine that has other work. */
interface Took {
  readonly wallMs: number
  readonly cpuMs: number
  /** Most memory of the process while it worked, whoever took it first. */
  readonly peakBytes: number
}

const sec = ({ wallMs, cpuMs }: Took): string =>
  `${(wallMs / 1000).toFixed(2)} s (${(cpuMs / 1000).toFixed(2)} cpu)`

const mbOf = (bytes: number): string => `${Math.round(bytes / 1e6).toLocaleString('en-US')} MB`

const sum = (a: Took, b: Took): Took => ({
  wallMs: a.wallMs + b.wallMs,
  cpuMs: a.cpuMs + b.cpuMs,
  peakBytes: Math.max(a.peakBytes, b.peakBytes),
})

async function sha256Of(path: string): Promise<string> {
  const hash = createHash('sha256')
  for await (const chunk of createReadStream(path)) hash.update(chunk)
  return hash.digest('hex')
}

async function timed(work: () => Promise<unknown>): Promise<Took> {
  const start = performance.now()
  const before = process.cpuUsage()
  let peakBytes = process.memoryUsage.rss()
  const watch = setInterval(() => {
    peakBytes = Math.max(peakBytes, process.memoryUsage.rss())
  }, 50)
  try {
    await work()
  } finally {
    clearInterval(watch)
  }
  const { user, system } = process.cpuUsage(before)
  return { wallMs: performance.now() - start, cpuMs: (user + system) / 1000, peakBytes }
}

async function timeFloor(folder: string, path: string): Promise<{ read: Took; normalise: Took }> {
  const warehouse = await Warehouse.open(folder, ['SELECT 1;'])
  const cells = Array.from({ length: 14 }, (_, i) => `'c${i + 1}': 'VARCHAR'`).join(', ')
  const read = await timed(() =>
    warehouse.run(
      `CREATE TABLE text AS SELECT * FROM read_csv('${path}', auto_detect = false, header = false, skip = 1, delim = ',', quote = '"', escape = '"', columns = {${cells}})`,
    ),
  )
  const angle = (cell: string) => `CASE WHEN ${cell} LIKE '%°%'
      THEN (regexp_extract(${cell}, '^([0-9]+)', 1)::DOUBLE + regexp_extract(${cell}, '° ([0-9.]+)', 1)::DOUBLE / 60) * CASE WHEN right(${cell}, 1) IN ('S', 'W') THEN -1 ELSE 1 END
      ELSE TRY_CAST(${cell} AS DOUBLE) END`
  const normalise = await timed(() =>
    warehouse.run(`
      CREATE TABLE typed AS SELECT *, hash(dropped_at, aircraft, fire, volume_gal, fraction, coverage_level, fluid, purpose, latitude, longitude, height_ft) AS ident FROM (
        SELECT c1 AS no, timezone('America/Boise', coalesce(try_strptime(c2 || ' ' || c3, '%m/%d/%Y %H%M'), try_strptime(c2 || ' ' || c3, '%d %b %Y %H:%M'))) AT TIME ZONE 'UTC' AS dropped_at,
          upper(replace(replace(c4, '-', ''), ' ', '')) AS aircraft, trim(c5) AS fire,
          TRY_CAST(replace(regexp_extract(c6, '^([0-9.,]+)', 1), ',', '') AS DOUBLE) * CASE WHEN c6 LIKE '% L' THEN 1 / 3.785411784 ELSE 1 END AS volume_gal,
          CASE c7 WHEN '1/4' THEN 0.25 WHEN '¼' THEN 0.25 WHEN 'quarter' THEN 0.25 WHEN '25%' THEN 0.25 WHEN '1/2' THEN 0.5 WHEN '½' THEN 0.5 WHEN 'half' THEN 0.5 WHEN '50%' THEN 0.5
            WHEN 'full' THEN 1 WHEN '100%' THEN 1 WHEN '3/4' THEN 0.75 WHEN '75%' THEN 0.75 ELSE TRY_CAST(c7 AS DOUBLE) END AS fraction,
          TRY_CAST(c8 AS DOUBLE) AS coverage_level,
          CASE lower(c9) WHEN 'water' THEN 'water' WHEN 'wtr' THEN 'water' WHEN 'h2o' THEN 'water' WHEN 'gel' THEN 'gel' WHEN 'foam' THEN 'foam' ELSE 'retardant' END AS fluid,
          CASE c10 WHEN 'DROP' THEN 'fire' WHEN 'JETT' THEN 'jettison' WHEN 'DUMP' THEN 'emergency' END AS purpose,
          ${angle('c11')} AS latitude, ${angle('c12')} AS longitude, TRY_CAST(c13 AS DOUBLE) AS height_ft
        FROM text)`),
  )
  await warehouse.close()
  return { read, normalise }
}

async function timeIngest(folder: string, logs: string): Promise<Took> {
  const warehouse = await Warehouse.open(folder, fullSchema)
  const time = await timed(() =>
    ingest(warehouse, [logs], [], { now: () => new Date(), keep: async () => null }),
  )
  await warehouse.close()
  return time
}
