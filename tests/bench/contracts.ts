import { pathToFileURL } from 'node:url'
import { fullSchema } from '../../src/commands/schema.ts'
import { reconcile } from '../../src/contracts/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'

/** 40 aircraft on 8 contracts, 600,000 loads and 400,000 drops over four seasons; 100,000 invoice lines. */
const layOut = `
INSERT INTO obs.contract(obs_no, fate, number, starts_on, ends_on, aircraft, currency, volume_tolerance_pct, zone)
SELECT 16 * (c + 1), 'accepted', 'C-' || c, DATE '2023-01-01', DATE '2026-12-31', list_transform(range(5), lambda a: 'N' || (c * 5 + a)), 'USD', 2,
  CASE WHEN c % 2 = 0 THEN 'America/Boise' END FROM range(8) r(c);
INSERT INTO obs.rate(obs_no, fate, contract, item, fluid, unit_price, from_quantity)
SELECT 1000 + row_number() OVER (), 'accepted', 'C-' || c, item, fluid, price, tier FROM range(8) r(c), (VALUES
  ('gallon-loaded', 'retardant', 3.25, NULL), ('gallon-loaded', 'retardant', 3.05, 500000), ('gallon-loaded', 'water', 0.35, NULL),
  ('gallon-delivered', NULL, 1.1, NULL), ('availability-day', NULL, 9800, NULL)) p(item, fluid, price, tier);
CREATE TEMP TABLE l AS SELECT i, 'N' || (i % 40) AS aircraft, 'L-' || i AS load,
  TIMESTAMP '2023-06-01 15:00:00' + to_minutes(((i // 40) % 60) * 9) + to_days((((i // 40) // 60) % 125)::INTEGER) + to_years((((i // 40) // 7500))::INTEGER) AS moment,
  2000.0 + i % 7 AS gallons, CASE WHEN i % 3 = 0 THEN 'water' ELSE 'retardant' END AS fluid FROM range(600000) r(i);
INSERT INTO ledger.load BY NAME SELECT load, aircraft, moment AS loaded_at, gallons AS volume_gal, 'T-' || lpad(i::VARCHAR, 7, '0') AS ticket, fluid, false AS is_recorded FROM l;
INSERT INTO account.load BY NAME SELECT load, aircraft, moment AS loaded_at, moment::DATE AS operating_day, year(moment)::VARCHAR AS season, fluid, 'B' || (i % 6) AS base FROM l;
INSERT INTO account."drop" BY NAME SELECT 'D-' || i AS "drop", aircraft, moment + INTERVAL 20 MINUTE AS dropped_at, load, moment::DATE AS operating_day, year(moment)::VARCHAR AS season,
  fluid, CASE WHEN i % 5000 = 0 THEN 'emergency' ELSE 'fire' END AS purpose, gallons AS volume_gal FROM l WHERE i < 400000;
INSERT INTO obs.availability(obs_no, fate, aircraft, day, status)
SELECT 5000000 + row_number() OVER (), 'accepted', 'N' || a, DATE '2023-06-01' + d::INTEGER, 'available' FROM range(40) r(a), range(125) s(d);
INSERT INTO obs.invoice_line(obs_no, fate, contract, invoice, line, item, aircraft, from_on, to_on, ticket, fluid, quantity, unit_price, amount)
SELECT 10000000 + i, 'accepted', 'C-' || ((i % 40) // 5), 'INV-' || (i // 400), (i % 400)::VARCHAR, 'gallon-loaded', aircraft, moment::DATE, NULL,
  CASE WHEN i % 50 = 0 THEN 't' || i ELSE 'T-' || lpad(i::VARCHAR, 7, '0') END, fluid, gallons, CASE fluid WHEN 'water' THEN 0.35 ELSE 3.25 END,
  round(gallons::DECIMAL(18,6) * CASE fluid WHEN 'water' THEN 0.35 ELSE 3.25 END::DECIMAL(9,2), 2) FROM l WHERE i < 90000
UNION ALL
(SELECT 20000000 + row_number() OVER (), 'accepted', 'C-' || (a // 5), 'DEL-' || a, (row_number() OVER (PARTITION BY a ORDER BY d))::VARCHAR, 'gallon-delivered',
  'N' || a, d, NULL, NULL, NULL, 120000, 1.1, 132000 FROM range(40) r(a), (SELECT DISTINCT moment::DATE AS d FROM l ORDER BY d) LIMIT 19960)
UNION ALL
SELECT 30000000 + a, 'accepted', 'C-' || (a // 5), 'AV-' || a, '1', 'availability-day', 'N' || a, DATE '2023-06-01', DATE '2023-09-30', NULL, NULL, 122, 9800, 1195600 FROM range(40) r(a);
`

export interface ContractsMeasured {
  lines: number
  loads_and_drops: number
  seconds: number
  /** Of all threads: what a busy machine does not change much. */
  cpu_s: number
  questioned: number
}

/** Holds 100,000 invoice lines against a million loads and drops, once. Goal: 10 s. */
export async function benchContracts(): Promise<ContractsMeasured> {
  const warehouse = await Warehouse.memory(fullSchema)
  try {
    await warehouse.run(layOut)
    const cpu = process.cpuUsage()
    const started = performance.now()
    await reconcile(warehouse)
    const seconds = (performance.now() - started) / 1000
    const used = process.cpuUsage(cpu)
    return {
      lines: Number(await warehouse.value('SELECT count(*) FROM contracts.line')),
      loads_and_drops: Number(
        await warehouse.value(
          'SELECT (SELECT count(*) FROM account.load) + (SELECT count(*) FROM account."drop")',
        ),
      ),
      seconds,
      cpu_s: (used.user + used.system) / 1e6,
      questioned: Number(await warehouse.value("SELECT count(*) FROM contracts.line WHERE finding <> 'ok'")),
    }
  } finally {
    await warehouse.close()
  }
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href)
  benchContracts().then((measured) => process.stdout.write(`${JSON.stringify(measured)}\n`))
