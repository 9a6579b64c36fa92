import { match } from '../../src/matching/index.ts'
import type { Warehouse } from '../../src/warehouse/index.ts'
import { emptyHouse, notePending, put } from '../matching/house.ts'
import { type Hand, season, type Told } from '../matching/season.ts'

/** Who writes in the season that is measured: measured and rounded clocks, one an hour off, one that drifts, crew sums. */
const hands: readonly Hand[] = [
  {
    source: 'controller:c',
    witness: 'controller',
    kinds: ['drop', 'load'],
    offset: (a) => (a % 5 === 1 ? 60 : 0),
  },
  {
    source: 'crew:d',
    witness: 'crew',
    kinds: ['drop'],
    roundMin: 5,
    roundGal: 50,
    saysFire: true,
    saysFraction: true,
    sloppy: 0.1,
    sums: 0.04,
    drift: 4,
  },
  { source: 'tracker:t', witness: 'tracker', kinds: ['drop', 'flight'], saysVolume: false, saysPlace: true },
  { source: 'ticket:k', witness: 'ticket', kinds: ['load'], roundMin: 1, volumeNoise: 0.01 },
  { source: 'crew:f', witness: 'crew', kinds: ['flight'], roundMin: 1 },
]

const days = 120
const perAircraft = 6_200
const uploaded = 500

/**
 * Matching of a whole season from nothing, and of one day's upload of 500 observations into it against the same upload
 * into an empty warehouse, in one process, with one thread of the database as in an update. CPU seconds are of all threads:
 * a loaded machine stretches only the wall.
 */
export async function benchMatching(observations: number): Promise<void> {
  const large = await emptyHouse()
  const empty = await emptyHouse()
  try {
    const aircraft = Math.max(1, Math.round(observations / perAircraft))
    const late: Told[] = []
    let count = 0
    for (let number = 0; number < aircraft; number++) {
      const told = seasonOf(number)
      const lastDay = told.filter((line) => dayOf(line) === days - 2)
      const isHeld = late.length < uploaded
      if (isHeld) late.push(...lastDay.slice(0, uploaded - late.length))
      const held = new Set(isHeld ? late : [])
      const standing = told.filter((line) => !held.has(line))
      count += standing.length
      await put(large, standing, number + 1)
    }
    console.log(`matching: ${count.toLocaleString('en-US')} observations, ${aircraft} aircraft, ${days} days`)
    const before = process.memoryUsage().rss
    const whole = await measured(() => large.onOneThread(() => match(large, 'all')))
    const perMillion = (seconds: number): string => ((seconds * 1e6) / count).toFixed(1)
    console.log(
      `  from nothing: wall ${whole.wall.toFixed(2)} s, CPU ${whole.cpu.toFixed(2)} s; per million wall ${perMillion(whole.wall)} s, CPU ${perMillion(whole.cpu)} s`,
    )
    console.log(
      `  memory: ${megabytes(before)} before, ${megabytes(process.resourceUsage().maxRSS * 1024)} at most`,
    )
    const intoEmpty = await upload(empty, late, 1)
    const intoLarge = await upload(large, late, aircraft + 1)
    console.log(
      `  ${late.length} observations more: into it wall ${intoLarge.wall.toFixed(2)} s, CPU ${intoLarge.cpu.toFixed(2)} s; into an empty one wall ${intoEmpty.wall.toFixed(2)} s, CPU ${intoEmpty.cpu.toFixed(2)} s`,
    )
    console.log(
      `  ratio wall ${(intoLarge.wall / intoEmpty.wall).toFixed(2)}, CPU ${(intoLarge.cpu / intoEmpty.cpu).toFixed(2)}`,
    )
  } finally {
    await large.close()
    await empty.close()
  }
}

function seasonOf(number: number): Told[] {
  return season({
    seed: 100 + number,
    aircraft: 1,
    days,
    hands,
  }).map((line) => ({
    ...line,
    aircraft: `N${1000 + number}ZY`,
    obsNo: (number + 1) * 2 ** 32 + line.obsNo * 16,
  }))
}

function dayOf(line: Told): number {
  return Math.floor((line.start - Date.UTC(2026, 5, 1) / 1000 - 8 * 3600) / 86_400)
}

async function upload(
  warehouse: Warehouse,
  lines: readonly Told[],
  fileNo: number,
): Promise<{ wall: number; cpu: number }> {
  await put(
    warehouse,
    lines.map((line, index) => ({ ...line, obsNo: (fileNo + 1) * 2 ** 32 + (index + 2) * 16 })),
  )
  await notePending(warehouse, lines)
  return measured(() => warehouse.onOneThread(() => match(warehouse, {})))
}

async function measured(work: () => Promise<unknown>): Promise<{ wall: number; cpu: number }> {
  const cpu = process.cpuUsage()
  const start = performance.now()
  await work()
  const used = process.cpuUsage(cpu)
  return { wall: (performance.now() - start) / 1000, cpu: (used.user + used.system) / 1e6 }
}

const megabytes = (bytes: number): string => `${Math.round(bytes / 2 ** 20)} MiB`
