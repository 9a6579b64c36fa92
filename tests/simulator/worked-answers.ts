/** Answers of the worked example, by hand: query name → rows, only the columns that matter. */

const f1Hours = 980 / 1990 + 1
const f2Hours = 1010 / 1990
const noDropHours = 40 / 60 + 1
const airborneHours = 3 + 40 / 60

export const expected = {
  arrivals: { read: 43, accepted: 43, duplicate: 0, superseded: 0, quarantined: 0 },
  drops: [
    ['2026-07-04T18:30:20Z', 'N801ZY', 'K-1', 'JUN', 'F-1', 'stated', 980, 'fire', 'corroborated'],
    ['2026-07-04T18:36:10Z', 'N801ZY', 'K-1', 'JUN', 'F-2', 'stated', 1010, 'fire', 'corroborated'],
    ['2026-07-04T20:00:00Z', 'N801ZY', 'K-1', 'JUN', 'F-1', 'nearest', 2000, 'fire', 'single'],
    ['2026-07-04T22:30:00Z', 'N801ZY', 'K-1', 'JUN', null, 'unattributed', 2000, 'emergency', 'single'],
    ['2026-07-12T17:00:00Z', 'N802ZY', 'K-1', null, null, 'unattributed', 0, 'ground-test', 'single'],
  ].map(([dropped_at, aircraft, tank, base, fire, fire_basis, volume_gal, purpose, status]) => ({
    dropped_at,
    aircraft,
    tank,
    base,
    fire,
    fire_basis,
    volume_gal,
    purpose,
    status,
  })),
  'gallons-by-fire': [
    { fire: 'F-1', drops: 2, gallons: 2980, flight_hours: f1Hours, gallons_per_flight_hour: 2980 / f1Hours },
    { fire: 'F-2', drops: 1, gallons: 1010, flight_hours: f2Hours, gallons_per_flight_hour: 1010 / f2Hours },
    { fire: 'unattributed', drops: 0, gallons: 0, flight_hours: 0, gallons_per_flight_hour: null },
  ],
  'hours-by-fire': [
    { fire: 'F-1', flight_hours: f1Hours },
    { fire: 'F-2', flight_hours: f2Hours },
    { fire: 'unattributed', flight_hours: 0 },
    { fire: 'no drop', flight_hours: noDropHours },
  ],
  'gallons-by-base': [
    {
      base: 'JUN',
      loads: 4,
      loaded_gal: 8000,
      drops: 3,
      gallons: 3990,
      flight_hours: 2,
      gallons_per_flight_hour: 1995,
      median_turnaround_min: 90,
    },
    { base: 'no drop', flight_hours: noDropHours },
  ],
  'gallons-by-aircraft': [
    {
      aircraft: 'N801ZY',
      drops: 3,
      gallons: 3990,
      airborne_hours: airborneHours,
      mission_hours: 2,
      gallons_per_airborne_hour: 3990 / airborneHours,
      gallons_per_mission_hour: 1995,
    },
  ],
  'gallons-by-day': [{ day: '2026-07-04', drops: 3, gallons: 3990, airborne_hours: airborneHours }],
  'volume-by-purpose': [
    { purpose: 'fire', drops: 3, gallons: 3990 },
    { purpose: 'emergency', drops: 1, gallons: 2000 },
    { purpose: 'ground-test', drops: 1, gallons: 0 },
  ],
  /** As of 31 July 2026. */
  'tank-cycles': [
    ['K-1', 'openings', 100, 4, 5, 1, 106],
    ['D-A', 'door-cycles', 100, 4, 5, 1, 106],
    ['D-B', 'door-cycles', 100, 3, 4, 1, 105],
    ['K-1', 'retardant-openings', 0, 3, 4, 1, 5],
    ['K-1', 'emergency-releases', 0, 1, 1, 0, 1],
    ['K-1', 'fills', 0, 0, 4, 0, 4],
    ['K-1', 'mountings', 0, 0, 2, 0, 2],
  ].map(([item, counter, baseline, recorded, counted, inferred, total]) => ({
    item,
    counter,
    baseline,
    recorded,
    counted,
    inferred,
    total,
  })),
  /** As of 31 July 2026. */
  'inspections-due': [
    { task: 'DH', item: 'D-A', counter: 'door-cycles', limit_at: 110, total: 106, remaining: 4 },
    { task: 'DH', item: 'D-B', counter: 'door-cycles', limit_at: 110, total: 105, remaining: 5 },
    { task: 'ER', item: 'K-1', counter: 'openings', limit_at: 106, total: 106, remaining: 0, status: 'due' },
  ],
  'invoice-findings': [
    ['1', 'quantity-over', 3.8, 3.7, '19000.00', '18500.00', '500.00'],
    ['2', 'ok', 2000, 2000, '6500.00', '6500.00', '0.00'],
    ['3', 'ok', 2030, 2030, '6597.50', '6597.50', '0.00'],
    ['4', 'duplicate', 2000, 0, '6500.00', '0.00', '6500.00'],
    ['5', 'rate', 2000, 2000, '7040.00', '6500.00', '540.00'],
    ['6', 'no-evidence', 2000, 0, '6500.00', '0.00', '6500.00'],
    [null, 'unbilled', null, 2000, null, '6500.00', '-6500.00'],
  ].map(([line, finding, billed_q, supported_q, billed_amount, supported_amount, difference_amount]) => ({
    line,
    finding,
    billed_quantity: billed_q,
    supported_quantity: supported_q,
    billed_amount,
    supported_amount,
    difference_amount,
  })),
  'invoice-summary': [
    { invoice: 'I-1', contract: 'C-9', billed: '52137.50', supported: '38097.50', difference: '14040.00' },
  ],
  unbilled: '6500.00',
  'tank-balance': [
    { tank: 'K-1', opened_at: '2026-07-04T18:00:00Z', loaded_gal: 2000, dropped_gal: 1990, finding: null },
    { tank: 'K-1', opened_at: '2026-07-04T19:30:00Z', loaded_gal: 2000, dropped_gal: 2000, finding: null },
    {
      tank: 'K-1',
      opened_at: '2026-07-04T21:00:00Z',
      loaded_gal: 2000,
      dropped_gal: 0,
      finding: 'unrecorded-release',
    },
    { tank: 'K-1', opened_at: '2026-07-04T22:00:00Z', loaded_gal: 2000, dropped_gal: 2000, finding: null },
  ],
} as const
