import { pathToFileURL } from 'node:url'
import { maintain, prepareBacktest, prepareDue } from '../../src/maintenance/index.ts'
import { fleetWarehouse } from '../maintenance/fleet.ts'
import { bursty, USUAL } from '../statistics/bursty-seasons.ts'

/** 20 components per tank at four doors and elsewhere, 10 tasks per component kind and tank with two limits, work every year. */
const layOut = `
CREATE TEMP TABLE part AS SELECT 'K-' || t AS tank, c, ['door', 'actuator', 'seal', 'hose', 'accumulator'][1 + c % 5] AS kind,
  CASE WHEN c % 5 < 3 THEN 'door-' || (1 + c // 5) ELSE 'place-' || c END AS position, 'P-' || t || '-' || c AS serial
FROM range(1, 51) r(t), range(20) s(c);
INSERT INTO obs.component(obs_no, fate, serial, kind) SELECT 1000 + row_number() OVER (), 'accepted', serial, kind FROM part;
INSERT INTO account.fitting SELECT serial, kind, tank, position, TIMESTAMP '2019-05-01', NULL FROM part;
INSERT INTO account.mounting SELECT DISTINCT tank, 'N-' || tank, TIMESTAMP '2019-05-01', NULL::TIMESTAMP FROM part;
INSERT INTO obs.task(obs_no, fate, task, applies_to, counter, "interval", tolerance)
SELECT 100000 + row_number() OVER (), 'accepted', kind || '-' || n, kind, counter, step, 5
FROM (SELECT DISTINCT kind FROM part) k, range(10) r(n), LATERAL (
  SELECT CASE WHEN n % 3 = 0 AND kind IN ('door', 'actuator', 'seal') THEN 'door-cycles' WHEN n % 3 = 1 THEN 'retardant-openings' ELSE 'openings' END,
    (50 + 35 * n)::VARCHAR UNION ALL SELECT 'days', CASE WHEN n % 2 = 0 THEN '12mo' ELSE '180' END WHERE n < 5) l(counter, step);
INSERT INTO obs.accomplishment(obs_no, fate, task, item, done_at)
SELECT 200000 + row_number() OVER (), 'accepted', kind || '-' || n, serial, TIMESTAMP '2020-11-01 08:00:00' + to_years(y::INTEGER)
FROM part, range(10) r(n), range(3) s(y);
`

export interface MaintenanceMeasured {
  limits: number
  work: number
  openings: number
  seconds: number
  processor_seconds: number
  findings_seconds: number
  backtest_seconds: number
}

/** The due list of 50 tanks with 20 components each and 10 tasks per component, forecasts included. Goal: 2 s. */
export async function benchMaintenance(): Promise<MaintenanceMeasured> {
  const warehouse = await fleetWarehouse(bursty(1, { ...USUAL, units: 50, seasons: 4 }), { doors: 4 })
  try {
    await warehouse.run(layOut)
    const timed = async (work: () => Promise<void>): Promise<number> => {
      const started = performance.now()
      await work()
      return (performance.now() - started) / 1000
    }
    const due = (): Promise<void> => prepareDue(warehouse, { as_of: '2023-07-20' })
    await due()
    const processor = process.cpuUsage()
    const seconds = await timed(due)
    const { user, system } = process.cpuUsage(processor)
    return {
      limits: Number(await warehouse.value('SELECT count(*) FROM asked.due')),
      work: Number(await warehouse.value('SELECT count(*) FROM obs.accomplishment')),
      openings: Number(await warehouse.value('SELECT sum(openings) FROM account.opening')),
      seconds,
      processor_seconds: (user + system) / 1e6,
      findings_seconds: await timed(() => maintain(warehouse)),
      backtest_seconds: await timed(() => prepareBacktest(warehouse, { season: null })),
    }
  } finally {
    await warehouse.close()
  }
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) console.log(await benchMaintenance())
