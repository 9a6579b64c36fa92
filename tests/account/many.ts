import type { Warehouse } from '../../src/warehouse/index.ts'
import { register } from './fixture.ts'

export interface Size {
  aircraft: number
  days: number
  loadsADay: number
}

/**
 * Fills the ledger with a repeatable multitude: each aircraft flies `loadsADay` loads on each of `days` days of five
 * seasons, two to four drops a load; some volumes, purposes, positions, flights and loads are missing, tanks change
 * aircraft half-way, one base's meter reads 3 % high. Records lie as matching writes them: by aircraft and time.
 * Made in SQL, so that a million drops take seconds.
 */
export async function fillLedger(w: Warehouse, size: Size): Promise<void> {
  const names = Array.from({ length: size.aircraft }, (_, n) => n)
  const mark = (n: number): string => `N${String(100 + n)}ZY`
  await register(
    w,
    'aircraft',
    names.map((n) => ({
      registration: mark(n),
      call_number: String(n),
      max_load_gal: 3000,
      max_speed_kt: 350,
    })),
  )
  await register(
    w,
    'tank',
    names.map((n) => ({
      serial: `K-${n}`,
      capacity_gal: 2000 + 100 * (n % 10),
      doors: 2 + (n % 3) * 2,
      door_use: n % 5 === 4 ? 'in-sequence' : 'together',
    })),
  )
  await register(
    w,
    'mounting',
    names.flatMap((n) => [
      { tank: `K-${n}`, aircraft: mark(n), on_at: '2020-01-01T00:00:00' },
      ...(n % 4 === 0
        ? [{ tank: `K-${n}`, aircraft: mark((n + 1) % size.aircraft), on_at: '2022-01-01T00:00:00' }]
        : []),
    ]),
  )
  await register(
    w,
    'base',
    Array.from({ length: 6 }, (_, n) => ({
      code: `B${n}`,
      name: `Base ${n}`,
      zone: n % 2 ? 'America/Denver' : 'America/Los_Angeles',
      latitude: 40 + n,
      longitude: -120 + 2 * n,
    })),
  )
  await w.run(`
    INSERT INTO obs.fire BY NAME SELECT 900000 + n AS obs_no, 1 AS file_no, 'accepted' AS fate, 'ID-' || y || '-' || n AS number,
      'Creek ' || n AS name, 40 + (n % 5) AS latitude, -120 + 2.0 * (n % 5) AS longitude,
      make_timestamp(y, 6, 1 + n % 20, 0, 0, 0) AS started_at, make_timestamp(y, 9, 1 + n % 20, 0, 0, 0) AS ended_at
    FROM range(20) a(n), range(2020, 2025) b(y);
    CREATE OR REPLACE TEMP TABLE made AS
    SELECT a, d, k, 'N' || (100 + a) || 'ZY' AS aircraft, hash(a * 1000003 + d * 1009 + k) AS h,
      make_timestamp(2020 + d % 5, 6, 10, 15, 0, 0) + to_days((d // 5)::INTEGER) + to_minutes((k * 55 + a % 7)::INTEGER) AS filled_at,
      2000 + 100 * (a % 10) AS capacity
    FROM range(${size.aircraft}) x(a), range(${size.days}) y(d), range(${size.loadsADay}) z(k) ORDER BY aircraft, filled_at;
    INSERT INTO ledger.load BY NAME
    SELECT 'L-' || aircraft || '-' || strftime(filled_at, '%Y%m%dT%H%M%SZ') AS load, aircraft, filled_at AS loaded_at,
      filled_at - INTERVAL 6 MINUTE AS started_at, 'B' || (a % 6) AS base_text, 'T' || a || d || k AS ticket,
      capacity * CASE WHEN a % 6 = 2 THEN 1.03 ELSE 1 END * (1 + (h % 7 - 3.0) / 1000) AS volume_gal,
      capacity * CASE WHEN a % 6 = 2 THEN 1.03 ELSE 1 END * (1 + (h % 7 - 3.0) / 1000) AS meter_gal,
      'retardant' AS fluid, CASE WHEN h % 3 = 0 THEN 0 END AS gauge_before_gal, CASE WHEN h % 3 = 0 THEN capacity END AS gauge_after_gal,
      CASE WHEN h % 3 = 0 THEN capacity END AS gauge_gal, h % 3 = 0 AS is_recorded,
      CASE WHEN h % 3 = 0 THEN ['controller', 'ticket'] ELSE ['ticket'] END AS witnesses, 'single' AS status, false AS is_excluded
    FROM made WHERE h % 97 <> 0;
    INSERT INTO ledger.flight BY NAME
    SELECT 'F-' || aircraft || '-' || strftime(filled_at + INTERVAL 5 MINUTE, '%Y%m%dT%H%M%SZ') AS flight, aircraft,
      filled_at + INTERVAL 5 MINUTE AS off_at, filled_at + INTERVAL 44 MINUTE AS on_at, 'B' || (a % 6) AS from_base_text,
      'B' || (a % 6) AS to_base_text, true AS is_recorded, ['tracker'] AS witnesses, 'single' AS status, false AS is_excluded
    FROM made WHERE h % 53 <> 0;
    INSERT INTO ledger."drop" BY NAME
    SELECT 'D-' || aircraft || '-' || strftime(filled_at + to_seconds((1200 + 120 * n)::INTEGER), '%Y%m%dT%H%M%SZ') AS "drop", aircraft,
      filled_at + to_seconds((1200 + 120 * n)::INTEGER) AS dropped_at,
      CASE WHEN (h >> 8) % 41 = n THEN NULL ELSE capacity / (2.0 + h % 3) * (1 + ((h >> n) % 11 - 5.0) / 300) END AS volume_gal,
      CASE WHEN (h >> 9) % 5 = 0 THEN NULL ELSE 1 / (2.0 + h % 3) END AS fraction,
      CASE WHEN h % 4 = 0 THEN NULL ELSE 'fire' END AS purpose, CASE WHEN h % 2 = 0 THEN 40.01 + a % 5 END AS latitude,
      CASE WHEN h % 2 = 0 THEN -120.01 + 2.0 * (a % 5) END AS longitude,
      CASE WHEN h % 5 < 2 THEN NULL WHEN h % 5 = 2 THEN 'creek ' || (h % 20) ELSE 'ID-' || year(filled_at) || '-' || (h % 20) END AS fire_text,
      false AS is_emergency_release, h % 3 = 0 AS is_measured, h % 3 = 0 AS is_recorded,
      CASE WHEN h % 3 = 0 THEN ['controller', 'crew'] ELSE ['crew'] END AS witnesses, 'single' AS status, false AS is_excluded
    FROM made, range(2 + (h % 3)::INTEGER) r(n) WHERE (h >> 5) % 61 <> n;
  `)
}
