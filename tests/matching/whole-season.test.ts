import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { fullSchema } from '../../src/commands/schema.ts'
import { ingest } from '../../src/intake/index.ts'
import { match } from '../../src/matching/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'
import { writeFiles } from '../simulator/files.ts'
import { ordinaryMess, type SeasonOptions } from '../simulator/options.ts'
import { simulate } from '../simulator/simulate.ts'
import { scoreOf, type Told } from './season.ts'

/** Pairs of lines that tell of one drop: found against true, for a season sent through the whole intake. */
async function f1Of(
  options: SeasonOptions,
): Promise<{ f1: number; precision: number; recall: number; pairs: number }> {
  const folder = await mkdtemp(join(tmpdir(), 'gallonage-season-'))
  const warehouse = await Warehouse.memory(fullSchema)
  try {
    const { files, truth } = simulate({ layout: 'trade', ...options })
    writeFiles(folder, files)
    await ingest(warehouse, [folder], [], { now: () => new Date('2026-12-01T00:00:00Z') })
    await match(warehouse, {})
    const of = new Map(truth.lines.map((line) => [`${line.path}:${line.line}:${line.kind}`, line.of]))
    const rows = await warehouse.rows<{ obs_no: number; path: string; line: number; id: string }>(
      `SELECT l.obs_no, f.path, (l.obs_no % 4294967296) // 16 AS line, l.id
       FROM ledger.link l JOIN raw.file f ON f.file_no = l.obs_no // 4294967296 WHERE l.kind = 'drop'`,
    )
    const events = new Map<string, number[]>()
    const told = new Map<number, Told>()
    for (const row of rows) {
      const path = row.path.replace(`${folder}/`, '')
      const ids = of.get(`${path}:${row.line}:drop`)
      if (!ids) continue
      events.set(row.id, [...(events.get(row.id) ?? []), row.obs_no])
      told.set(row.obs_no, { kind: 'drop', obsNo: row.obs_no, truth: ids } as unknown as Told)
    }
    const { f1, precision, recall, truePairs } = scoreOf([...told.values()], events as never, 'drop')
    return { f1, precision, recall, pairs: truePairs }
  } finally {
    await warehouse.close()
    await rm(folder, { recursive: true, force: true })
  }
}

const size = { aircraft: 4, days: 40, dropsPerDay: 40 }

describe('a messy season as its senders write it', () => {
  for (const seed of [1, 2, 3]) {
    it(`drops are matched with F1 of 0.995 or more, seed ${seed}`, async () => {
      const score = await f1Of({ ...size, seed, mess: { ...ordinaryMess, crew_sums: 0 } })
      console.log(`seed ${seed}: ${JSON.stringify(score)}`)
      expect(score.pairs).toBeGreaterThan(300)
      expect(score.f1).toBeGreaterThanOrEqual(0.995)
    }, 180_000)
  }

  it('and no worse where crews write one line for a whole load, of which the controller missed a part', async () => {
    const score = await f1Of({ ...size, seed: 2, mess: ordinaryMess })
    console.log(JSON.stringify(score))
    expect(score.f1).toBeGreaterThanOrEqual(0.995)
  }, 180_000)
})
