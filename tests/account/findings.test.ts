import { afterAll, beforeAll, expect, test } from 'vitest'
import type { Warehouse } from '../../src/warehouse/index.ts'
import { ask, compute, emptyWarehouse, happened, only, register } from './fixture.ts'

/** Two aircraft, three days, three loads a day of two half drops each: nothing to find. */
let w: Warehouse

const at = (day: number, minutes: number): string =>
  new Date(Date.UTC(2026, 6, day, 15, minutes)).toISOString().slice(0, 19)

beforeAll(async () => {
  w = await emptyWarehouse()
  const both = ['N811ZY', 'N812ZY']
  await register(
    w,
    'aircraft',
    both.map((registration) => ({ registration, max_speed_kt: 300 })),
  )
  await register(
    w,
    'tank',
    ['K-1', 'K-2'].map((serial) => ({ serial, capacity_gal: 2000, doors: 2 })),
  )
  await register(
    w,
    'mounting',
    both.map((aircraft, n) => ({ tank: `K-${n + 1}`, aircraft, on_at: '2026-05-01T00:00:00' })),
  )
  await register(w, 'base', [{ code: 'JUN', zone: 'America/Boise', latitude: 43.2, longitude: -115.2 }])
  const open = { started_at: '2026-07-01T00:00:00', ended_at: '2026-07-20T00:00:00' }
  await register(w, 'fire', [
    { number: 'F-1', name: 'Stone Creek', latitude: 43, longitude: -115, ...open },
    { number: 'F-2', name: 'Pine Ridge', latitude: 44, longitude: -115, ...open },
    {
      number: 'F-9',
      name: 'Long Over',
      latitude: 43.1,
      longitude: -115,
      started_at: '2026-06-01T00:00:00',
      ended_at: '2026-06-05T00:00:00',
    },
  ])
  const sorties = both.flatMap((aircraft) =>
    [4, 5, 6].flatMap((day) => [0, 70, 140].map((start) => ({ aircraft, day, start }))),
  )
  await happened(
    w,
    'load',
    sorties.map(({ aircraft, day, start }) => ({
      aircraft,
      loaded_at: at(day, start),
      started_at: at(day, start - 8),
      base_text: 'JUN',
      volume_gal: 2000,
      meter_gal: 2000,
      fluid: 'retardant',
      witnesses: ['ticket'],
    })),
  )
  await happened(
    w,
    'flight',
    sorties.map(({ aircraft, day, start }) => ({
      aircraft,
      off_at: at(day, start + 5),
      on_at: at(day, start + 55),
      from_base_text: 'JUN',
      to_base_text: 'JUN',
      witnesses: ['crew', 'tracker'],
    })),
  )
  await happened(
    w,
    'drop',
    sorties.flatMap(({ aircraft, day, start }) =>
      [20, 26].map((after) => ({
        aircraft,
        dropped_at: at(day, start + after),
        volume_gal: 1000,
        fraction: 0.5,
        purpose: 'fire',
        coverage_level: 4,
        groundspeed_kt: 125,
        fire_text: 'F-1',
        latitude: 43.01,
        longitude: -115.01,
        witnesses: ['controller', 'crew'],
        is_recorded: true,
      })),
    ),
  )
}, 60_000)
afterAll(() => w.close())

test('a clean season has no finding', async () => {
  await compute(w)
  expect(only(await ask(w, 'findings'), 'finding', 'subject')).toEqual([])
}, 60_000)

const id = (aircraft: string, day: number, minutes: number): string =>
  `D-${aircraft}-${at(day, minutes).replace(/[-:]/g, '')}`

test('each trouble is found once, and nothing else', async () => {
  const change = (drop: string, set: string): Promise<void> =>
    w.run(`UPDATE ledger."drop" SET ${set} WHERE "drop" = '${drop}'`)
  const one = 'N811ZY'
  await change(id(one, 4, 20), 'latitude = 0, longitude = 0')
  await change(id(one, 4, 26), 'longitude = 115.01')
  await change(id(one, 4, 90), "fire_text = 'F-9'")
  await change(id(one, 4, 96), "fire_text = 'Tamarack'")
  await change(id(one, 4, 160), 'coverage_level = 40')
  await change(id(one, 4, 166), "fire_text = 'F-2'")
  await change(id(one, 5, 20), 'volume_gal = 9000')
  await change(id(one, 5, 26), 'volume_gal = 0.5')
  await change(id(one, 5, 90), 'fraction = 0.75')
  await change(id(one, 5, 160), `dropped_at = TIMESTAMP '${at(5, 200)}'`)
  await change(id(one, 6, 26), 'latitude = 43.9, longitude = -115.9')
  await change(id(one, 6, 20), `dropped_at = TIMESTAMP '${at(6, 25)}'`)
  await w.run(
    `DELETE FROM ledger."drop" WHERE aircraft = 'N812ZY' AND dropped_at BETWEEN '${at(4, 0)}' AND '${at(4, 60)}'`,
  )
  await w.run(`DELETE FROM ledger.load WHERE aircraft = 'N812ZY' AND loaded_at = '${at(5, 70)}'`)
  await w.run(
    `UPDATE ledger.load SET base_text = 'JUNE' WHERE aircraft = 'N812ZY' AND loaded_at = '${at(6, 0)}'`,
  )
  await w.run(
    `UPDATE ledger.flight SET on_at = '${at(6, 90)}' WHERE aircraft = 'N812ZY' AND off_at = '${at(6, 5)}'`,
  )
  await happened(w, 'load', [
    {
      aircraft: 'N811ZY',
      loaded_at: at(6, 137),
      base_text: 'JUN',
      volume_gal: 2000,
      meter_gal: 2000,
      fluid: 'retardant',
      witnesses: ['ticket'],
    },
  ])
  await happened(w, 'drop', [
    {
      aircraft: 'N812ZY',
      dropped_at: '2026-07-06T08:00:00',
      volume_gal: 0,
      purpose: 'ground-test',
      witnesses: ['controller'],
    },
    {
      aircraft: 'N812ZY',
      dropped_at: '2026-04-01T18:00:00',
      volume_gal: 0,
      purpose: 'ground-test',
      witnesses: ['controller'],
    },
  ])
  await compute(w)
  const found = only(await ask(w, 'findings'), 'finding', 'subject')
    .map((row) => row.join(' | '))
    .sort()
  expect(found).toEqual(
    [
      `position-zero | drop ${id(one, 4, 20)}`,
      `position-sign | drop ${id(one, 4, 26)}`,
      `fire-not-active | drop ${id(one, 4, 90)}`,
      'unknown-fire | fire Tamarack 2026',
      `coverage-out-of-range | drop ${id(one, 4, 160)}`,
      `fire-far-from-drop | drop ${id(one, 4, 166)}`,
      `volume-above-capacity | drop ${id(one, 5, 20)}`,
      `fractions-above-one | load L-${one}-${at(5, 70).replace(/[-:]/g, '')}`,
      `drop-on-ground | drop ${id(one, 5, 160)}`,
      `too-fast | ${one} 2026-07-06`,
      `ticket-without-flight | load L-${one}-${at(6, 137).replace(/[-:]/g, '')}`,
      `unrecorded-release | load L-${one}-${at(6, 137).replace(/[-:]/g, '')}`,
      `fire-far-from-drop | drop ${id(one, 6, 26)}`,
      `unrecorded-release | load L-N812ZY-${at(4, 0).replace(/[-:]/g, '')}`,
      `flight-without-drop | flight F-N812ZY-${at(4, 5).replace(/[-:]/g, '')}`,
      'unrecorded-load | tank K-2 2026-07-05 15:00:00',
      'unknown-base | base JUNE',
      `aircraft-in-two-places | flight F-N812ZY-${at(6, 75).replace(/[-:]/g, '')}`,
      'no-mounting | N812ZY 2026-04-01',
      'home-zone-unknown | N812ZY',
    ].sort(),
  )
}, 60_000)

test('loads at two bases that the aircraft cannot have flown between are a finding, and a quick hop is none', async () => {
  await register(w, 'base', [
    { code: 'FAR', zone: 'America/Boise', latitude: 45.2, longitude: -115.2 },
    { code: 'NOWHERE', zone: 'America/Boise' },
  ])
  const load = (minutes: number, base: string): Record<string, unknown> => ({
    aircraft: 'N811ZY',
    loaded_at: at(12, minutes),
    base_text: base,
    volume_gal: 900,
    witnesses: ['ticket'],
  })
  // 120 NM: a minute apart, and an hour apart; then a base whose place nobody knows, at once and after a while.
  await happened(w, 'load', [
    load(0, 'JUN'),
    load(1, 'FAR'),
    load(61, 'JUN'),
    load(63, 'NOWHERE'),
    load(80, 'JUN'),
  ] as never)
  await compute(w)
  const found = (await ask(w, 'findings')).filter((row) => row.finding === 'aircraft-in-two-places')
  const name = (minutes: number) => `load L-N811ZY-${at(12, minutes).replace(/[-:]/g, '')}`
  expect(found.map((row) => row.subject).filter((subject) => String(subject).startsWith('load'))).toEqual([
    name(1),
    name(63),
  ])
  expect(found.map((row) => row.message)).toContainEqual(
    expect.stringMatching(/N811ZY was loaded at FAR at .* and at JUN 1 min before, 120 NM away/),
  )
}, 60_000)
