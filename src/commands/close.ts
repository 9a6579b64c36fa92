import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { join } from 'node:path'
import { pipeline } from 'node:stream/promises'
import type { Warehouse } from '../warehouse/index.ts'
import { atMost } from './choice.ts'
import type { Command } from './command.ts'
import { CommandError, UsageError } from './effects.ts'
import { makeNamedFolder, writeNamed } from './named-file.ts'
import { fingerprintOf, inFolder, warehouseFolder, withWarehouse } from './session.ts'
import { canonicalTables } from './tables.ts'

export const closeCommand: Command = {
  name: 'close',
  summary: 'freeze a season, or re-open it with a reason',
  usage: 'SEASON',
  options: {
    out: {
      type: 'string',
      value: 'DIR',
      about: 'where the frozen tables go (default closed/SEASON in the warehouse)',
    },
    by: { type: 'string', value: 'NAME', about: 'who closes it (default: the user of this machine)' },
  },
  examples: [
    'gallonage close 2026 --by "R. Alder"',
    'gallonage amend reopen 2026 --reason "late tickets" --by "R. Alder"',
  ],
  async run(args, effects) {
    atMost(1, args.positionals)
    const [season] = args.positionals
    if (!season) throw new UsageError('name a season, such as 2026')
    const { USER, LOGNAME, USERNAME } = effects.env
    const by = args.text('by') || USER || LOGNAME || USERNAME || 'not named'
    const folder = args.text('out')
      ? inFolder(effects.cwd, args.text('out')!)
      : join(warehouseFolder(args, effects), 'closed', season)
    return withWarehouse(args, effects, async (warehouse) => {
      const manifest = await warehouse.exclusive(() =>
        closeSeason(warehouse, season, folder, by, effects.now()),
      )
      if (args.flag('json')) effects.out(`${JSON.stringify(manifest, null, 2)}\n`)
      else {
        for (const table of manifest.tables)
          effects.out(`${table.sha256}  ${table.file}  ${table.rows.toLocaleString('en-US')} rows\n`)
        effects.out(`season ${season} is closed; ${join(folder, 'manifest.json')} names every table\n`)
      }
      return 0
    })
  },
}

export interface Manifest {
  season: string
  first_day: string
  last_day: string
  closed_at: string
  closed_by: string
  fingerprint: string
  tables: { file: string; rows: number; sha256: string }[]
}

/** Writes the season's canonical tables with a manifest, and refuses later rows of its days. @throws CommandError */
export async function closeSeason(
  warehouse: Warehouse,
  season: string,
  folder: string,
  by: string,
  now: Date,
): Promise<Manifest> {
  const standing = await warehouse.value(
    'SELECT 1 FROM raw.closed_season WHERE season = $season AND until_file IS NULL',
    { season },
  )
  if (standing !== null)
    throw new CommandError(
      `season ${season} is closed already; "gallonage amend reopen ${season}" opens it again`,
    )
  const span = await spanOf(warehouse, season)
  const rows = await warehouse.value(
    Object.values(canonicalTables)
      .map((select) => `(SELECT 1 FROM (${select}) WHERE season = $season LIMIT 1)`)
      .join(' UNION ALL '),
    { season },
  )
  if (rows === null) throw new CommandError(`nothing is on record in season ${season}; check its name`)
  makeNamedFolder(folder)
  const tables: Manifest['tables'] = []
  for (const [name, select] of Object.entries(canonicalTables)) {
    const file = `${name}.parquet`
    const path = join(folder, file)
    await warehouse.run(
      `COPY (SELECT * FROM (${select}) WHERE season = '${season.replaceAll("'", "''")}') TO '${path.replaceAll("'", "''")}' (FORMAT parquet, COMPRESSION zstd)`,
    )
    const rows = Number(await warehouse.value(`SELECT count(*) FROM '${path.replaceAll("'", "''")}'`))
    tables.push({ file, rows, sha256: await sha256Of(path) })
  }
  const manifest: Manifest = {
    season,
    ...span,
    closed_at: now.toISOString(),
    closed_by: by,
    fingerprint: await fingerprintOf(warehouse),
    tables,
  }
  await writeNamed(join(folder, 'manifest.json'), `${JSON.stringify(manifest, null, 2)}\n`)
  await warehouse.append('raw.closed_season', {
    season: [season],
    first_day: [span.first_day],
    last_day: [span.last_day],
    closed_at: [now.getTime()],
    closed_by: [by],
    manifest: [JSON.stringify(manifest)],
    after_file: [Number(await warehouse.value('SELECT coalesce(max(file_no), 0) FROM raw.file'))],
  })
  return manifest
}

async function spanOf(
  warehouse: Warehouse,
  season: string,
): Promise<{ first_day: string; last_day: string }> {
  const [named] = await warehouse.rows<{ first_day: string; last_day: string }>(
    "SELECT starts_on AS first_day, ends_on AS last_day FROM obs.season WHERE name = $season AND fate = 'accepted'",
    { season },
  )
  if (named) return named
  if (/^\d{4}$/.test(season)) return { first_day: `${season}-01-01`, last_day: `${season}-12-31` }
  throw new CommandError(
    `there is no season ${season}; name a calendar year, or put the season on record (kind season)`,
  )
}

async function sha256Of(path: string): Promise<string> {
  const hash = createHash('sha256')
  await pipeline(createReadStream(path), hash)
  return hash.digest('hex')
}
