import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { fuelTable } from '../../src/effectiveness/fuel.ts'
import {
  gpcByDefinition,
  gpcToLitresPerSquareMetre,
  litresPerSquareMetreToGpc,
} from '../../src/values/coverage.ts'
import { happened, moment, only, put, Room, register } from '../effectiveness/fixture.ts'

let room: Room

beforeAll(async () => {
  room = await Room.open()
})
afterAll(() => room.close())

const value = (sql: string): Promise<number | null> => room.warehouse.value<number>(`SELECT ${sql}`)

describe('coverage level, NWCG Glossary: US gallons per 100 square feet; conversion computed as an exact ratio', () => {
  test.each([
    [0.5, 0.20372917],
    [1, 0.40745833],
    [2, 0.81491667],
    [3, 1.222375],
    [4, 1.62983333],
    [6, 2.44475],
    [8, 3.25966667],
    [10, 4.07458333],
  ])('CL %d is %d L/m2', (level, litres) => {
    expect(gpcToLitresPerSquareMetre(level)).toBeCloseTo(litres, 7)
    expect(litresPerSquareMetreToGpc(gpcToLitresPerSquareMetre(level))).toBeCloseTo(level, 14)
  })

  test('the ratio 9779/24000 is 3.785411784 L by 100 times 0.3048 m squared', () => {
    expect(gpcByDefinition).toBeCloseTo(9779 / 24000, 15)
  })
})

describe('cups of a drop test, USDA Forest Service, 0257-2826-MTDC (2002): gpc = [(x / 453.6) / 9.13707] / 0.001944; read', () => {
  test.each([
    [10, 1.2411484848],
    [25, 3.102871212],
    [100, 12.411484848],
    [8.0570537067, 1],
  ])('%d g of retardant are %d gpc (computed)', async (grams, gpc) => {
    expect(await value(`effectiveness.gpc_of_cup(${grams}::DOUBLE, NULL::DOUBLE)`)).toBeCloseTo(gpc, 9)
  })

  test('with water of 8.33 lb/gal, 1 gpc is 7.3453806720 g (computed)', async () => {
    expect(await value('effectiveness.gpc_of_cup(7.3453806720::DOUBLE, 8.33::DOUBLE)')).toBeCloseTo(1, 9)
  })
})

describe('safe drop height, USDA Forest Service, Safe Drop Height for Fixed-Wing Airtankers, 0057-2317-MTDC (2000); read, values computed', () => {
  test.each([
    [3000, 1200, 208.84],
    [2000, 800, 189.56],
  ])('%d gal at a peak of %d gal/s: %d ft', async (gallons, peak, feet) => {
    expect(await value(`effectiveness.safe_height_ft(${gallons}, ${peak})`)).toBeCloseTo(feet, 9)
  })
})

describe('coverage for the fuel, USDA Forest Service drop guides, Table 1', () => {
  /** As the table has it: danger rating models, fire behavior model, level, and whether the cell was read. */
  test.each([
    ['A', 1, '1', 'read'],
    ['L', 1, '1', 'read'],
    ['S', 1, '1', 'read'],
    ['C', 2, '2', 'read'],
    ['H', 8, '2', 'read'],
    ['R', 8, '2', 'read'],
    ['E', 9, '2', 'read'],
    ['P', 9, '2', 'read'],
    ['U', 9, '2', 'read'],
    ['T', 2, '2', 'read'],
    ['N', 3, '2', 'read'],
    ['F', 5, '3', 'read'],
    ['K', 11, '3', 'read'],
    ['G', 10, '4', 'read'],
    ['F', 6, '6', 'from memory'],
    ['Q', 6, '6', 'from memory'],
    ['B', 4, '>6', 'from memory'],
    ['J', 12, '>6', 'from memory'],
    ['I', 13, '>6', 'from memory'],
  ])('model %s (FB %i): CL %s (%s)', async (nfdrs, fb, level, mark) => {
    expect(await recommended(`NFDRS ${nfdrs} (FB ${fb})`)).toEqual([level, mark])
    expect(await recommended(`${nfdrs.toLowerCase()}${fb}`)).toEqual([level, mark])
  })

  test.each([
    ['Model F', '3 to 6'],
    ['O 4', '6 to >6'],
    ['FB 4', '6 to >6'],
    ['brush', '3 to >6'],
  ])('%s fits several rows and gives their range, %s', async (written, range) => {
    expect((await recommended(written))![0]).toBe(range)
  })

  test.each([
    ['Conifer with grass', '2'],
    ['intermediate brush (green)', '3'],
    ['Intermediate brush, cured', '6'],
    ['light slash', '3'],
    ['tundra', '1'],
    ['high pocosin', '>6'],
  ])('the description %s gives %s', async (written, level) => {
    expect((await recommended(written))![0]).toBe(level)
  })

  test('words that are in no row give nothing', async () => {
    expect(await recommended('vineyard')).toBeNull()
    expect(await recommended('FB 14')).toBeNull()
  })

  test('a letter is not enough: F and O stand in two rows each', () => {
    const rows = (letter: string): number => fuelTable.filter((one) => one.nfdrs.includes(letter)).length
    expect([rows('F'), rows('O'), rows('C')]).toEqual([2, 2, 1])
  })

  async function recommended(written: string): Promise<[string, string] | null> {
    const [found] = await room.warehouse.rows<{ recommended: string; mark: string }>(
      'SELECT recommended, mark FROM effectiveness.fuel_recommendation WHERE fuel_key = effectiveness.fuel_key($written)',
      { written },
    )
    return found ? [found.recommended, found.mark] : null
  }
})

describe('answers on a published worked number and a certified data set', () => {
  /** NIST StRD, univariate, Mavro (50 values): certified mean 2.00185600000000, standard deviation 0.000429123454003053. Read. */
  const mavro =
    '2.00180 2.00170 2.00180 2.00190 2.00180 2.00170 2.00150 2.00140 2.00150 2.00150 2.00170 2.00180 2.00180 2.00190 2.00190 2.00210 2.00200 2.00160 2.00140 2.00130 2.00130 2.00150 2.00150 2.00160 2.00150 2.00140 2.00130 2.00140 2.00150 2.00140 2.00150 2.00160 2.00150 2.00160 2.00190 2.00200 2.00200 2.00210 2.00220 2.00230 2.00240 2.00250 2.00270 2.00260 2.00260 2.00260 2.00270 2.00260 2.00250 2.00240'
      .split(' ')
      .map(Number)

  beforeAll(async () => {
    const w = room.warehouse
    await put(w, 'raw.setting', [{ name: 'home_zone', value: 'UTC' }])
    await register(w, 'aircraft', [{ registration: 'N1ZY' }])
    await register(w, 'tank', [{ serial: 'T-1', capacity_gal: 5000, doors: 2, pattern_width_ft: 60 }])
    await register(w, 'mounting', [{ tank: 'T-1', aircraft: 'N1ZY', on_at: '2026-01-01' }])
    const days = mavro.map((_, day) => day)
    await happened(
      w,
      'load',
      [...days, 90].map((day) => ({ aircraft: 'N1ZY', loaded_at: moment(day, -30), volume_gal: 5000 })),
    )
    await happened(w, 'drop', [
      ...mavro.map((error, day) => ({
        aircraft: 'N1ZY',
        dropped_at: moment(day),
        purpose: 'training',
        volume_gal: 100 + error,
        commanded_gal: 100,
        coverage_level: 2,
        fraction: 0.25,
        is_measured: true,
        is_recorded: true,
      })),
      { aircraft: 'N1ZY', dropped_at: moment(90), purpose: 'fire', volume_gal: 3000, coverage_level: 4 },
    ])
    await room.compute()
  })

  test('setting accuracy gives the certified mean and standard deviation', async () => {
    const [row] = await room.ask('setting-accuracy')
    expect(row!.drops).toBe(50)
    expect(row!.bias_pct).toBeCloseTo(2.001856, 10)
    expect(row!.sd_pct).toBeCloseTo(0.000429123454003053, 10)
    // Student's t for 49 degrees of freedom at 97.5 %: 2.0096 (tables).
    expect(row!.high_pct).toBeCloseTo(2.001856 + (2.0096 * 0.000429123454) / Math.sqrt(50), 7)
  })

  test('line of 3,000 gal at CL 4 and 60 ft: 1,250 ft or 18.9394 chains at most (arithmetic; the same worked numbers are quoted)', async () => {
    const [row] = await room.ask('line-built', { from: '2026-08-01' })
    expect(only([row] as never, 'bound_drops', 'bound_ft')).toEqual([[1, 1250]])
    expect(row!.bound_chains).toBeCloseTo(18.9394, 4)
  })
})
