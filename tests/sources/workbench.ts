import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { DuckDBInstance } from '@duckdb/node-api'
import {
  canonicalProfiles,
  foundFile,
  isProblem,
  type Landing,
  type Profile,
  parseProfile,
  prepare,
  type Recognized,
  recognize,
  type SourceProblem,
} from '../../src/sources/index.ts'

export interface LandedRow {
  line: number
  problem: string | null
  surplus: string | null
  cells: (string | null)[]
}

export interface Landed {
  recognized: Recognized
  landing: Landing
  rows: LandedRow[]
}

/** A folder of its own for one test file, and the way from bytes to landed rows. */
export class Workbench {
  readonly folder = mkdtempSync(join(tmpdir(), 'gallonage-sources-'))
  readonly #duckdb = DuckDBInstance.create(':memory:').then((instance) => instance.connect())

  close(): void {
    rmSync(this.folder, { recursive: true, force: true })
  }

  write(name: string, bytes: string | Uint8Array): string {
    const path = join(this.folder, name)
    mkdirSync(dirname(path), { recursive: true })
    writeFileSync(path, bytes)
    return path
  }

  async recognize(path: string, profiles: Profile[] = []): Promise<Recognized | SourceProblem> {
    return recognize(await foundFile(path), [...profiles, ...canonicalProfiles()])
  }

  async land(
    name: string,
    bytes: string | Uint8Array,
    profiles: Profile[] = [],
  ): Promise<Landed | SourceProblem> {
    const path = this.write(name, bytes)
    const recognized = await this.recognize(path, profiles)
    if (isProblem(recognized)) return recognized
    const landing = await prepare(await foundFile(path), recognized, join(this.folder, 'scratch'))
    if (isProblem(landing)) return landing
    return { recognized, landing, rows: await this.rows(landing, recognized.headerLine) }
  }

  async landed(name: string, bytes: string | Uint8Array, profiles: Profile[] = []): Promise<Landed> {
    const landed = await this.land(name, bytes, profiles)
    if (isProblem(landed)) throw new Error(`${landed.what} (${landed.path}:${landed.line})`)
    return landed
  }

  async refused(name: string, bytes: string | Uint8Array, profiles: Profile[] = []): Promise<SourceProblem> {
    const landed = await this.land(name, bytes, profiles)
    if (!isProblem(landed)) throw new Error(`${name} landed with ${landed.rows.length} rows`)
    return landed
  }

  /** What the warehouse will read of a landing. */
  async rows(landing: Landing, headerLine: number): Promise<LandedRow[]> {
    const cells = landing.header.map((_, index) => `c${index + 1}`)
    const names = landing.direct ? cells : ['line', 'problem', 'surplus', ...cells]
    const columns = names.map((name) => `'${name}': 'VARCHAR'`).join(', ')
    const { csv } = landing
    const connection = await this.#duckdb
    const result = await connection.runAndReadAll(
      `SELECT * FROM read_csv('${landing.csvPath}', auto_detect = false, header = false, skip = ${csv.skip},
        delim = '${csv.delimiter}', quote = '${csv.quote}', escape = '${csv.escape}', columns = {${columns}})`,
    )
    const rows = result.getRows() as (string | null)[][]
    return rows.map((row, index) =>
      landing.direct
        ? { line: headerLine + 1 + index, problem: null, surplus: null, cells: row }
        : { line: Number(row[0]), problem: row[1]!, surplus: row[2]!, cells: row.slice(3) },
    )
  }
}

/** A profile for drop sheets with these headers; `more` is laid over it. */
export function dropProfile(name: string, headers: string[], more: Record<string, unknown> = {}): Profile {
  const profile = parseProfile(
    JSON.stringify({
      profile: name,
      headers,
      zone: 'America/Boise',
      records: [
        {
          kind: 'drop',
          witness: 'crew',
          fields: { dropped_at: { from: 'Time' }, aircraft: { from: 'Tanker' }, volume: { from: 'Gals' } },
        },
      ],
      ...more,
    }),
    `${name}.json`,
  )
  if (isProblem(profile)) throw new Error(profile.what)
  return profile
}
