import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { loadCatalogue } from '../../src/catalogue/index.ts'
import { type Look, makeReport, type Report, type ReportKind } from '../../src/report/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'

/** Answers with a few rows each: the columns, then the rows. */
export const answers: Readonly<Record<string, string>> = {
  'gallons-by-fire': `SELECT * FROM (VALUES
    ('CO-104', 'Dry Creek <east>', 3, 6000.0e0, 1000.0e0, 5000.0e0, 0.0e0, 0.0e0, 4.0e0, 1500.0e0),
    ('NV-77', 'Long Valley', 1, 1500.5e0, 1500.5e0, 0.0e0, 0.0e0, 0.0e0, 1.0e0, 1500.5e0),
    ('unattributed', NULL, 1, 500.0e0, 500.0e0, 0.0e0, 0.0e0, 0.0e0, 0.5e0, 1000.0e0))
    t(fire, name, drops, gallons, water_gal, retardant_gal, gel_gal, foam_gal, flight_hours, gallons_per_flight_hour)
    WHERE $season IS NULL OR $season = '2026'`,
  'gallons-by-aircraft': `SELECT * FROM (VALUES ('N801ZY', 'T-81', 5, 8000.5e0, 7.0e0, 5.5e0, 1142.928571e0, 1454.636363e0))
    t(aircraft, call_number, drops, gallons, airborne_hours, mission_hours, gallons_per_airborne_hour, gallons_per_mission_hour)`,
  'volume-by-purpose': `SELECT * FROM (VALUES ('fire', 5, 8000.5e0), ('jettison', 1, 250.0e0)) t(purpose, drops, gallons)`,
  'hours-by-fire': `SELECT * FROM (VALUES ('CO-104', 4.0e0), ('NV-77', 1.0e0), ('unattributed', 0.5e0), ('no drop', 1.5e0)) t(fire, flight_hours)`,
  'gallons-by-day': `SELECT d::DATE AS day, drops, gallons, hours AS airborne_hours
    FROM (VALUES ('2026-07-04', 3, 6000.0e0, 4.0e0), ('2026-07-20', 2, 2000.5e0, 3.0e0)) t(d, drops, gallons, hours)`,
  drops: `SELECT 'D-' || n AS drop, t::TIMESTAMP AS dropped_at, fire, volume_gal, purpose, status
    FROM (VALUES (1, '2026-07-04 18:00', 'CO-104', 6000.0e0, 'fire', 'corroborated'), (2, '2026-07-20 19:00', 'NV-77', 1500.5e0, 'fire', 'single'),
      (3, '2026-07-20 20:00', NULL, 500.0e0, 'fire', 'single'), (4, '2026-07-20 21:00', NULL, 250.0e0, 'jettison', 'single'))
    t(n, t, fire, volume_gal, purpose, status)`,
  'gallons-by-base': `SELECT * FROM (VALUES ('GJT', 'Mesa', 5, 9000.0e0, 5, 8000.5e0, 5.5e0, 1454.6e0, 42.0e0), ('no drop', NULL, NULL, NULL, NULL, NULL, 1.5e0, NULL, NULL))
    t(base, name, loads, loaded_gal, drops, gallons, flight_hours, gallons_per_flight_hour, median_turnaround_min)`,
  turnarounds: `SELECT * FROM (VALUES ('GJT', 4, 42.0e0, 55.0e0, 8.0e0, 14.0e0, 6.0e0, 13.0e0, 1.0e0))
    t(base, turnarounds, median_min, p90_min, fill_min, out_min, scene_min, back_min, hold_min)`,
  'outcome-rates': `SELECT * FROM (VALUES ('flank', 10, 8, 0.8889e0, 0.565e0, 0.98e0, 6, 1, 0.857e0, 0.487e0, 0.974e0))
    t(group_name, assessed, met_fire, interaction_rate, interaction_low, interaction_high, effective, not_effective, success_rate, success_low, success_high)`,
  arrivals: `SELECT * FROM (VALUES ('drops.csv', 'ab', 'p', 10, 7, 1, 1, 1), ('loads.csv', 'cd', 'p', 5, 5, 0, 0, 0))
    t(path, sha256, profile, read, accepted, duplicate, superseded, quarantined)`,
  quarantine: `SELECT 'drops.csv' AS file, 4 AS line, 'p' AS profile, 'volume' AS field, 'abc' AS text, 'no number' AS reason`,
  findings: `SELECT 'clock-offset' AS finding, 'note' AS severity, 'crew' AS subject, NULL::TIMESTAMP AS happened_at, 'an hour late' AS message, ['obs:1'] AS evidence, 'open' AS state`,
  completeness: `SELECT 'N801ZY' AS aircraft, '2026-07-04'::DATE AS day, 'controller' AS witness, 2 AS flights, 0 AS events, NULL::TIMESTAMP AS last_arrived_at`,
  'inspections-due': `SELECT task, item, counter, limit_at, total, limit_at - total AS remaining, p10::DATE AS due_on_p10, p50::DATE AS due_on_p50,
      p90::DATE AS due_on_p90, status, governs
    FROM (VALUES ('wash', 'TK-1', 'retardant-openings', 200.0e0, 120.0e0, '2026-08-01', '2026-08-20', '2026-09-15', 'ok', true),
      ('seal check', 'TK-1', 'openings', 500.0e0, 505.0e0, '2026-07-01', '2026-07-01', '2026-07-01', 'overdue', true),
      ('seal check', 'TK-1', 'days', 365.0e0, 100.0e0, NULL, '2027-03-01', NULL, 'ok', false))
    t(task, item, counter, limit_at, total, p10, p50, p90, status, governs)`,
  'tank-cycles': `SELECT * FROM (VALUES ('TK-1', 'tank', 'TK-1', NULL, 'openings', 100.0e0, 300.0e0, 400.0e0, 5.0e0, 505.0e0),
      ('DR-1', 'door', 'TK-1', 'door-1', 'door-cycles', 0.0e0, 300.0e0, 400.0e0, 5.0e0, 405.0e0))
    t(item, kind, tank, position, counter, baseline, recorded, counted, inferred, total)`,
  'tank-balance': `SELECT 'TK-1' AS tank, '2026-07-04 17:00'::TIMESTAMP AS opened_at, 3000.0e0 AS loaded_gal, 1000.0e0 AS dropped_gal, 0.0e0 AS offloaded_gal, 900.0e0 AS residual_gal, 'unrecorded-release' AS finding`,
  'drop-places': `SELECT 39.1e0 AS latitude, -108.5e0 AS longitude, 'retardant' AS fluid, 4 AS drops, 6000.0e0 AS gallons, 'D-1' AS drop, 'N801ZY' AS aircraft, '2026-07-04 18:00'::TIMESTAMP AS dropped_at, 'CO-104' AS fire`,
  fires: `SELECT 'CO-104' AS fire, 'Dry Creek <east>' AS name, 39.0e0 AS latitude, -108.4e0 AS longitude`,
  bases: `SELECT 'GJT' AS base, 'Mesa' AS name, 39.12e0 AS latitude, -108.53e0 AS longitude`,
  'burn-down': `SELECT 'TK-1' AS item, 'wash' AS task, 'retardant-openings' AS counter, d::DATE AS day, total, 200.0e0 AS limit_at, '2026-08-01'::DATE AS due_on_p10, '2026-08-20'::DATE AS due_on_p50,
      '2026-09-15'::DATE AS due_on_p90 FROM (VALUES ('2026-07-01', 80.0e0), ('2026-07-20', 120.0e0)) t(d, total)`,
  'invoice-summary': `SELECT 'INV-1' AS invoice, 'C-1' AS contract, 1234567.10::DECIMAL(18,2) AS billed, 1234000.05::DECIMAL(18,2) AS supported, 567.05::DECIMAL(18,2) AS difference,
      567.05::DECIMAL(18,2) AS in_dispute, 0::DECIMAL(18,2) AS under_billed, NULL::VARCHAR AS currency, 2 AS lines, 1 AS questioned, 0 AS agreed, 1 AS disputed, 0 AS credited,
      '2026-07-01'::DATE AS first_on, '2026-07-31'::DATE AS last_on WHERE $invoice IS NULL OR $invoice = 'INV-1'`,
  'invoice-findings': `SELECT invoice, line, contract, item, NULL AS aircraft, finding, 1e0 AS billed_quantity, 1e0 AS supported_quantity, billed::DECIMAL(18,2) AS billed_amount,
      supported::DECIMAL(18,2) AS supported_amount, (billed - supported)::DECIMAL(18,2) AS difference_amount, true AS is_primary, '2026-07-04'::DATE AS from_on, '2026-07-04'::DATE AS to_on,
      3.42::DECIMAL(18,6) AS billed_price, CASE line WHEN 2 THEN '<b>600.05</b> billed' ELSE '' END AS message, ['load:L-1', 'obs:9', 'invoice-line:C-1/INV-1/1'] AS evidence,
      CASE line WHEN 2 THEN 'disputed' END AS note_state, 'R. Alder' AS note_by, 'wrong ticket' AS note_reason
    FROM (VALUES ('INV-1', 1, 'C-1', 'flight-hour', 'ok', 100.10, 100.10), ('INV-1', 2, 'C-1', 'gallon-loaded', 'quantity-over', 600.05, 33.00),
      (NULL, NULL, 'C-1', 'flight-hour', 'unbilled', 0.00, 80.00)) t(invoice, line, contract, item, finding, billed, supported)`,
  'meter-bias': `SELECT 'GJT' AS base, 40 AS pairs, 2.5e0 AS bias_pct, 1.5e0 AS low_pct, 3.5e0 AS high_pct`,
  'drift-alarms': `SELECT NULL::VARCHAR AS tank, NULL::TIMESTAMP AS from_at, NULL AS from_drop, NULL::DOUBLE AS ewma_pct, NULL::DOUBLE AS limit_pct WHERE false`,
}

export type House = {
  report: (kind: ReportKind, params?: Record<string, string>, look?: Look) => Promise<Report>
  close: () => Promise<void>
}

/** A catalogue of those answers alone. */
export async function house(): Promise<House> {
  const folder = mkdtempSync(join(tmpdir(), 'gallonage-report-'))
  const builtIn = join(folder, 'answers')
  mkdirSync(builtIn)
  for (const [name, sql] of Object.entries(answers)) {
    const params = [...new Set([...sql.matchAll(/\$(\w+)/g)].map((match) => match[1]))].join(', ')
    writeFileSync(
      join(builtIn, `${name}.sql`),
      `-- title: ${name}\n-- grain: one row\n-- params: ${params}\n${sql}\n`,
    )
  }
  const catalogue = loadCatalogue({ folders: { builtIn } })
  const warehouse = await Warehouse.memory([])
  return {
    report: (kind, params = {}, look) =>
      makeReport(kind, {
        catalogue,
        warehouse,
        params,
        fingerprint: 'f1f2f3',
        madeAt: new Date('2026-11-01T09:30:00Z'),
        version: '0.1.0',
        ...(look ? { look } : {}),
      }),
    close: async () => {
      await catalogue.close()
      await warehouse.close()
      rmSync(folder, { recursive: true })
    },
  }
}
