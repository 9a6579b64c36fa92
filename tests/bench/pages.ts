import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pages } from '../../dashboards/pages.ts'
import { openCatalogue } from '../../src/commands/catalogue.ts'
import { takeIn } from '../../src/commands/ingest.ts'
import { fingerprintOf, openWarehouse } from '../../src/commands/session.ts'
import { statusOf } from '../../src/commands/status.ts'
import { createApp } from '../../src/server/index.ts'
import { manyCopies } from './million.ts'

/** Lists that the pages ask a part at a time. */
const longLists = new Set([
  ...['drops', 'loads', 'flights', 'flights-without-drop', 'safe-height', 'traces'],
  ...['arrivals', 'quarantine', 'findings', 'completeness', 'clock-offsets', 'invoice-findings'],
])
/** What the page narrows further than by its filters: one of many tanks at a time. */
const narrowed: Readonly<Record<string, string>> = {
  'control-chart': '&tank=TL-106-3',
  'trace-samples': '&tank=TX-101-3&latest=40',
}
const dropsOfTheSample = 979

/**
 * Each page's data (of `only` these, where named) on about `drops` drops, latest season chosen as the pages open: wall and CPU seconds when the server has
 * not answered the same before, and when it has. Goal: 0.3 s for the second.
 */
export async function benchPages(drops: number, only: readonly string[] = []): Promise<void> {
  const folder = await mkdtemp(join(tmpdir(), 'gallonage-pages-'))
  const warehouse = await openWarehouse(folder, { err: () => undefined })
  const reader = await warehouse.reader()
  const catalogue = openCatalogue()
  try {
    await takeIn(warehouse, ['sample-logs/season-2026'], [], { now: () => new Date() })
    await manyCopies(warehouse, Math.max(1, Math.round(drops / dropsOfTheSample)))
    const held = await warehouse.value<number>('SELECT count(*) FROM account."drop"')
    console.log(
      `pages: ${Number(held).toLocaleString('en-US')} drops; seconds first asked (CPU), then asked again`,
    )
    const app = createApp({
      catalogue,
      warehouse,
      fingerprint: () => fingerprintOf(reader),
      status: () => statusOf(reader),
      evidence: async () => null,
      ingest: async () => null,
      amend: async () => null,
      assetsFolder: null,
    })
    for (const entry of pages) {
      if (only.length && !only.includes(entry.name)) continue
      const page = await entry.load()
      const names = [...new Set(page.sections.flatMap((section) => section.needs))].filter((name) =>
        catalogue.has(name),
      )
      const ask = async (name: string): Promise<number> => {
        const isLong = longLists.has(name)
        const season = catalogue.describe(name).params.some((param) => param.name === 'season')
          ? 'season=2026'
          : ''
        const part = isLong ? '&limit=25&offset=0' : ''
        const response = await app.request(`/api/queries/${name}?${season}${narrowed[name] ?? ''}${part}`, {
          headers: {
            Accept: isLong ? 'application/json' : 'application/vnd.apache.arrow.stream',
            'Accept-Encoding': 'gzip',
          },
        })
        if (!response.ok) throw new Error(`${name}: ${await response.text()}`)
        return (await response.arrayBuffer()).byteLength
      }
      const one: string[] = []
      for (const name of names) {
        const { wall, cpu, value } = await timed(() => ask(name))
        if (cpu > 0.5)
          one.push(`${name} ${wall.toFixed(1)} (${cpu.toFixed(1)}) ${Math.round(value / 1000)} kB`)
      }
      const again = await timed(() => Promise.all(names.map(ask)))
      const size = again.value.reduce((sum, bytes) => sum + bytes, 0)
      console.log(
        `  ${entry.name}: again ${again.wall.toFixed(3)} s, CPU ${again.cpu.toFixed(3)} s, ${Math.round(size / 1000)} kB${one.length ? `; slowest at first: ${one.join(', ')}` : ''}`,
      )
    }
  } finally {
    await catalogue.close()
    await reader.close()
    await warehouse.close()
    await rm(folder, { recursive: true, force: true })
  }
}

async function timed<T>(work: () => Promise<T>): Promise<{ wall: number; cpu: number; value: T }> {
  const before = process.cpuUsage()
  const start = performance.now()
  const value = await work()
  const used = process.cpuUsage(before)
  return { wall: (performance.now() - start) / 1000, cpu: (used.user + used.system) / 1e6, value }
}
