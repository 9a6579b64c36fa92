import { join } from 'node:path'
import { csvCell } from '../catalogue/index.ts'
import type { Cell, Warehouse } from '../warehouse/index.ts'
import { atMost, choose } from './choice.ts'
import type { Command } from './command.ts'
import { makeNamedFolder, writeNamed } from './named-file.ts'
import { inFolder, withWarehouse } from './session.ts'
import { canonicalTables } from './tables.ts'

const formats = ['parquet', 'csv', 'geojson'] as const

export const exportCommand: Command = {
  name: 'export',
  summary: 'canonical tables as Parquet, CSV or GeoJSON',
  usage: '--format parquet|csv|geojson --out DIR',
  options: {
    format: {
      type: 'string',
      value: 'FORMAT',
      about: 'parquet (by season, default), csv, geojson (positions of drops)',
    },
    out: { type: 'string', value: 'DIR', about: 'folder to write to (default export)' },
  },
  examples: [
    'gallonage export --format parquet --out export/',
    'gallonage export --format geojson --out export/',
  ],
  async run(args, effects) {
    atMost(0, args.positionals)
    const format = choose('a format', args.text('format') ?? 'parquet', formats)
    const folder = inFolder(effects.cwd, args.text('out') ?? 'export')
    makeNamedFolder(folder)
    return withWarehouse(args, effects, async (warehouse) => {
      const written =
        format === 'geojson'
          ? await geojson(warehouse, folder)
          : format === 'csv'
            ? await csv(warehouse, folder)
            : await parquet(warehouse, folder)
      if (args.flag('json')) effects.out(`${JSON.stringify({ written })}\n`)
      else for (const path of written) effects.out(`${path}\n`)
      return 0
    })
  },
}

async function parquet(warehouse: Warehouse, folder: string): Promise<string[]> {
  const written: string[] = []
  for (const [name, select] of Object.entries(canonicalTables)) {
    const path = join(folder, name)
    await warehouse.run(
      `COPY (SELECT *, season AS season_part FROM (${select})) TO '${path.replaceAll("'", "''")}' (FORMAT parquet, PARTITION_BY (season_part), OVERWRITE_OR_IGNORE true, COMPRESSION zstd)`,
    )
    written.push(path)
  }
  return written
}

async function csv(warehouse: Warehouse, folder: string): Promise<string[]> {
  const written: string[] = []
  for (const [name, select] of Object.entries(canonicalTables)) {
    const rows = await warehouse.rows(select)
    const head = (await warehouse.rows<{ column_name: string }>(`DESCRIBE ${select}`)).map(
      (row) => row.column_name,
    )
    const lines = [head, ...rows.map((row) => head.map((column) => row[column] ?? null))].map((cells) =>
      cells.map((cell) => csvCell(cell as Cell, 'text')).join(','),
    )
    const path = join(folder, `${name}.csv`)
    await writeNamed(path, `${lines.join('\r\n')}\r\n`)
    written.push(path)
  }
  return written
}

/** Drops with a position as points (RFC 7946: WGS 84, longitude first, no crs). */
async function geojson(warehouse: Warehouse, folder: string): Promise<string[]> {
  const rows = await warehouse.rows<
    { drop: string; latitude: number; longitude: number } & Record<string, Cell>
  >(
    `${canonicalTables.drops!.replace('SELECT *', 'SELECT "drop", dropped_at, aircraft, tank, base, fire, fire_basis, volume_gal, coverage_level, fraction, fluid, purpose, status, season, latitude, longitude').replace('ORDER BY', 'WHERE latitude IS NOT NULL AND longitude IS NOT NULL ORDER BY')}`,
  )
  const features = rows.map(({ latitude, longitude, ...properties }) => ({
    type: 'Feature',
    id: properties.drop,
    geometry: { type: 'Point', coordinates: [longitude, latitude] },
    properties,
  }))
  const path = join(folder, 'drops.geojson')
  await writeNamed(path, `${JSON.stringify({ type: 'FeatureCollection', features })}\n`)
  return [path]
}
