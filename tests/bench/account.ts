import { account, type Change } from '../../src/account/index.ts'
import { fullSchema } from '../../src/commands/schema.ts'
import { reconcile } from '../../src/contracts/index.ts'
import { assess } from '../../src/effectiveness/index.ts'
import { maintain } from '../../src/maintenance/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'
import { fillLedger } from '../account/many.ts'
import { fillPapers } from './papers.ts'

const fleet = 50
const loadsADay = 11
/** Every load of the made ledger is followed by three drops, as good as. */
const dropsALoad = 3
/** About 500 records: of 9 aircraft, all that one day saw. */
const uploaded = Array.from({ length: 9 }, (_, n) => `N${100 + 5 * n}ZY`)
const kinds = { drop: 'dropped_at', load: 'loaded_at', flight: 'off_at' }

interface Used {
  wall: number
  cpu: number
}

/**
 * The account of so many drops with their loads and flights from nothing, against reading and grouping the same rows;
 * and a late day's upload into it, with all that later rooms make of it, against the same upload into an empty warehouse.
 * The programme of inspections, contracts and invoices of a fleet are on record. Goal: the upload takes at most 1 s, and at
 * most 3 times as long as into an empty warehouse. CPU seconds are of all threads.
 */
export async function benchAccount(drops: number): Promise<void> {
  const large = await Warehouse.memory(fullSchema)
  const empty = await Warehouse.memory(fullSchema)
  try {
    const days = Math.max(5, Math.round(drops / (fleet * loadsADay * dropsALoad)))
    await fillLedger(large, { aircraft: fleet, days, loadsADay })
    await fillLedger(empty, { aircraft: fleet, days: 0, loadsADay })
    for (const warehouse of [large, empty]) await fillPapers(warehouse, fleet)
    const late = await holdBack(large)
    const count = Number(await large.value('SELECT count(*) FROM ledger."drop"'))
    console.log(`account: ${count.toLocaleString('en-US')} drops, ${fleet} aircraft, ${days} days`)
    const floor = await measured(() => group(large))
    const whole = await measured(() => account(large, 'all'))
    console.log(`  reading and grouping: ${text(floor)}; from nothing: ${text(whole)}`)
    console.log(
      `  ratio CPU ${(whole.cpu / floor.cpu).toFixed(1)}; CPU per million ${((whole.cpu * 1e6) / count).toFixed(1)} s`,
    )
    await account(empty, 'all')
    for (const warehouse of [large, empty]) await laterRooms(warehouse)
    for (const name of ['last', 'earlier'] as const) {
      const records = await take(large, name)
      await take(empty, name)
      const into = await upload(large, late[name])
      const intoEmpty = await upload(empty, late[name])
      console.log(
        `  ${records} records of the ${name} day more: ${text(into)}; into an empty one ${text(intoEmpty)}`,
      )
      console.log(
        `  ratio wall ${(into.wall / intoEmpty.wall).toFixed(2)}, CPU ${(into.cpu / intoEmpty.cpu).toFixed(2)}`,
      )
    }
  } finally {
    await large.close()
    await empty.close()
  }
}

const text = (used: Used): string => `wall ${used.wall.toFixed(2)} s, CPU ${used.cpu.toFixed(2)} s`

async function group(warehouse: Warehouse): Promise<void> {
  for (const [kind, time] of Object.entries(kinds))
    await warehouse.rows(
      `SELECT aircraft, ${time}::DATE AS day, count(*) AS n, max(hash(e)) AS mark FROM ledger."${kind}" e GROUP BY ALL ORDER BY ALL`,
    )
}

/** Takes the last day, and a day two thirds into the records, of some aircraft out of the ledger; the two days. */
async function holdBack(warehouse: Warehouse): Promise<Record<'last' | 'earlier', string>> {
  const days = await warehouse.rows<{ day: string }>(
    'SELECT DISTINCT loaded_at::DATE::VARCHAR AS day FROM ledger.load ORDER BY day',
  )
  const chosen = { last: days.at(-2)!.day, earlier: days[Math.floor((days.length * 2) / 3)]!.day }
  for (const [name, day] of Object.entries(chosen))
    for (const [kind, time] of Object.entries(kinds)) {
      const which = `aircraft IN (${uploaded.map((one) => `'${one}'`).join()}) AND ${time} BETWEEN '${day} 12:00' AND DATE '${day}' + INTERVAL 34 HOUR`
      await warehouse.run(
        `CREATE TEMP TABLE held_${name}_${kind} AS SELECT * FROM ledger."${kind}" WHERE ${which};
         DELETE FROM ledger."${kind}" WHERE ${which}`,
      )
    }
  held = warehouse
  return chosen
}

let held: Warehouse

/** Puts what was held back into the ledger; the number of records. */
async function take(warehouse: Warehouse, name: string): Promise<number> {
  let records = 0
  for (const kind of Object.keys(kinds)) {
    if (warehouse === held) {
      await warehouse.run(`INSERT INTO ledger."${kind}" FROM held_${name}_${kind}`)
    } else {
      const rows = await held.rows<Record<string, unknown>>(
        `SELECT to_json(e)::VARCHAR AS line FROM held_${name}_${kind} e`,
      )
      const lines = `[${rows.map((row) => String(row.line)).join(',')}]`
      await warehouse.run(
        `INSERT INTO ledger."${kind}" BY NAME SELECT unnest(from_json($lines::JSON, json_structure($lines::JSON)), max_depth := 2)`,
        { lines },
      )
    }
    records += Number(await held.value(`SELECT count(*) FROM held_${name}_${kind}`))
  }
  return records
}

async function laterRooms(warehouse: Warehouse): Promise<void> {
  await maintain(warehouse)
  await reconcile(warehouse)
  await assess(warehouse)
}

/** An update, told as after matching that nothing changed before two days before the day. */
async function upload(warehouse: Warehouse, day: string): Promise<Used> {
  const parts: string[] = []
  const part = async (name: string, work: () => Promise<unknown>): Promise<void> => {
    const used = await measured(work)
    parts.push(`${name} ${used.cpu.toFixed(2)}`)
  }
  const since = new Date(Date.parse(day) - 2 * 86_400_000).toISOString().slice(0, 10)
  let changed: Change = null
  const used = await measured(() =>
    warehouse.onOneThread(() =>
      warehouse.transaction(async () => {
        await part('account', async () => {
          changed = await account(warehouse, { aircraft: uploaded, since })
        })
        await part('maintain', () => maintain(warehouse, changed ?? 'all'))
        await part('reconcile', () => reconcile(warehouse, changed ?? 'all'))
        await part('assess', () => assess(warehouse, changed ?? 'all'))
      }),
    ),
  )
  console.log(`    CPU s: ${parts.join(', ')}; the rest is the commit`)
  return used
}

async function measured(work: () => Promise<unknown>): Promise<Used> {
  const cpu = process.cpuUsage()
  const start = performance.now()
  await work()
  const used = process.cpuUsage(cpu)
  return { wall: (performance.now() - start) / 1000, cpu: (used.user + used.system) / 1e6 }
}
