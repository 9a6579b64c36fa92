/**
 * NIST Handbook 44 (2026) Appendix C and NIST SP 811 Appendix B: exact definitions of the units.
 * USDA Forest Service, Tech Tip 0657-1301-SDTDC (June 2006): weights of water and mixed retardant.
 */
import { expect, test } from 'vitest'
import {
  chainsToFeet,
  defaultDensity,
  feetToChains,
  gpcByDefinition,
  gpcToLitresPerSquareMetre,
  litresPerSquareMetreToGpc,
  readMeasure,
  type Unit,
} from '../../src/values/index.ts'

test.each<[string, Unit, number]>([
  ['3.785411784 L', 'gal_us', 1],
  ['1 imp gal', 'gal_us', 1.2009499255],
  ['0.3048 m', 'ft', 1],
  ['1 NM', 'ft', 1852 / 0.3048],
  ['1.852 km/h', 'kt', 1],
  ['0.5144444444444445 m/s', 'kt', 1],
  ['5280 ft', 'ft', 5280],
])('%s', (text, unit, expected) => {
  const read = readMeasure(text, { unit })
  expect(read.ok && read.value).toBeCloseTo(expected, 9)
})

test('weight to volume: water 8.33 lb/gal; mixed retardant between 8.93 and 9.13', () => {
  expect(readMeasure('8330 lb', { unit: 'gal_us', densityLbPerGal: defaultDensity.water })).toEqual({
    ok: true,
    value: 1000,
  })
  expect(defaultDensity.retardant).toBeGreaterThanOrEqual(8.93)
  expect(defaultDensity.retardant).toBeLessThanOrEqual(9.13)
  // The same Tech Tip: an 800 gal tank of wet concentrate at 12.3 lb/gal weighs 9,840 lb.
  const concentrate = readMeasure('9840 lb', { unit: 'gal_us', densityLbPerGal: 12.3 })
  expect(concentrate.ok && concentrate.value).toBeCloseTo(800, 9)
})

test('coverage level: gallons per 100 square feet (NWCG Glossary), 9779/24000 L/m² each by the exact definitions', () => {
  const depths = [0.5, 1, 2, 3, 4, 6, 8, 10].map((level) =>
    Number(gpcToLitresPerSquareMetre(level).toFixed(8)),
  )
  expect(depths).toEqual([
    0.20372917, 0.40745833, 0.81491667, 1.222375, 1.62983333, 2.44475, 3.25966667, 4.07458333,
  ])
  expect(gpcByDefinition).toBeCloseTo(9779 / 24000, 14)
  expect(litresPerSquareMetreToGpc(0.5)).toBeCloseTo(1.227, 3)
})

test('chain of 66 feet, 80 to the mile (NIST Handbook 44, Appendix C)', () => {
  expect(chainsToFeet(80)).toBe(5280)
  expect(feetToChains(1250)).toBeCloseTo(18.9394, 4)
})
