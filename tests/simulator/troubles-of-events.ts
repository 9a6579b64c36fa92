import { dropHeader, flightHeader, lines, loadHeader, registry, type Trouble } from './trouble.ts'

const flight = lines(
  flightHeader,
  '2026-07-04T18:10:00Z,2026-07-04T19:10:00Z,N801ZY,JUN,JUN,crew',
  '2026-07-04T19:40:00Z,2026-07-04T20:40:00Z,N801ZY,JUN,JUN,crew',
)
const loads = lines(
  loadHeader,
  '2026-07-04T18:00:00Z,N801ZY,JUN,J-00421,3000,retardant,ticket,,',
  '2026-07-04T19:30:00Z,N801ZY,JUN,J-00422,2900,retardant,ticket,,',
)
const contract = {
  'contracts/contract.csv': lines(
    'number,starts_on,ends_on,aircraft,currency,volume_tolerance_pct,hours_step,hours_rounding,hours_per',
    'ZY-26-T,2026-07-01,2026-07-31,N801ZY,USD,2,0.1,half-up,flight',
  ),
  'contracts/rate.csv': lines('contract,item,unit_price', 'ZY-26-T,gallon-loaded,3.42'),
}

/** Rows that read well enough and still cannot be right, or need a second look. */
export const troublesOfEvents: Trouble[] = [
  {
    name: 'date-that-does-not-exist',
    about:
      'Line 2 of `drop.csv` says 31 June. gallonage should quarantine it with the column and the text, not move it to 1 July.',
    files: {
      ...registry,
      'drop.csv': lines(
        dropHeader,
        '2026-06-31T18:30:00Z,N801ZY,1400,,fire,crew',
        '2026-07-04T18:36:10Z,N801ZY,1390,Anvil Creek,fire,crew',
      ),
    },
  },
  {
    name: 'clock-change',
    about:
      'A crew sheet in local time: 02:30 on 8 March 2026 was skipped by the clocks, and 01:30 on 1 November 2026 came twice. gallonage should give a finding for each and say which moment it took.',
    files: {
      ...registry,
      'profiles/local-sheet.json': `${JSON.stringify({
        profile: 'local-sheet',
        format: 'csv',
        headers: ['Local', 'Tail', 'Gallons'],
        zone: 'America/Boise',
        records: [
          {
            kind: 'drop',
            witness: 'crew',
            fields: {
              dropped_at: { from: 'Local', format: ['%Y-%m-%d %H:%M'] },
              aircraft: { from: 'Tail' },
              volume: { from: 'Gallons' },
            },
            constants: { purpose: 'training' },
          },
        ],
      })}\n`,
      'sheet.csv': lines('Local,Tail,Gallons', '2026-03-08 02:30,N801ZY,900', '2026-11-01 01:30,N801ZY,900'),
    },
  },
  {
    name: 'not-a-number',
    about:
      'Three volumes that are no volumes: `NaN`, `1e308` and `-40`. gallonage should quarantine the three rows, each with column, text and reason, and keep the fourth.',
    files: {
      ...registry,
      'drop.csv': lines(
        dropHeader,
        '2026-07-04T18:30:20Z,N801ZY,NaN,,fire,crew',
        '2026-07-04T18:36:10Z,N801ZY,1e308,,fire,crew',
        '2026-07-04T18:40:10Z,N801ZY,-40,,fire,crew',
        '2026-07-04T18:44:10Z,N801ZY,1390,Anvil Creek,fire,crew',
      ),
    },
  },
  {
    name: 'unknown-aircraft',
    about:
      'Line 2 speaks of `N807ZY`, which is not in the registry. gallonage should quarantine it and suggest the nearest registration; add the aircraft or an alias, and the row is tried again by itself.',
    files: {
      ...registry,
      'drop.csv': lines(
        dropHeader,
        '2026-07-04T18:30:20Z,N807ZY,1400,,fire,crew',
        '2026-07-04T18:36:10Z,n-801zy,1390,Anvil Creek,fire,crew',
        '2026-07-04T19:50:00Z,Tanker 802,1500,Anvil Creek,fire,crew',
      ),
    },
  },
  {
    name: 'misspelt-fire',
    about:
      'The crew wrote `Anvel Crek` for the fire Anvil Creek, and once `Nowhere Ridge`, which is on no list. The first should resolve and count as stated; the second gives the finding `unknown-fire`, and its drop is kept.',
    files: {
      ...registry,
      'drop.csv': lines(
        dropHeader,
        '2026-07-04T18:30:20Z,N801ZY,1400,Anvel Crek,fire,crew',
        '2026-07-04T18:36:10Z,N801ZY,1390,Nowhere Ridge,fire,crew',
      ),
    },
  },
  {
    name: 'clock-an-hour-off',
    about:
      'Controller and crew tell of the same four drops, but the controller of that day is an hour late. gallonage should find an offset of +60 min, count four drops and not eight, and say so in a finding `clock-offset`.',
    files: {
      ...registry,
      'load.csv': loads,
      'flight.csv': flight,
      'drop-controller.csv': lines(
        dropHeader,
        '2026-07-04T19:30:20Z,N801ZY,1480,,,controller',
        '2026-07-04T19:37:10Z,N801ZY,1390,,,controller',
        '2026-07-04T21:00:40Z,N801ZY,720,,,controller',
        '2026-07-04T21:04:15Z,N801ZY,2080,,,controller',
      ),
      'drop-crew.csv': lines(
        dropHeader,
        '2026-07-04T18:30:00Z,N801ZY,1500,Anvil Creek,fire,crew',
        '2026-07-04T18:37:00Z,N801ZY,1400,Anvil Creek,fire,crew',
        '2026-07-04T20:01:00Z,N801ZY,700,Anvil Creek,fire,crew',
        '2026-07-04T20:04:00Z,N801ZY,2100,Anvil Creek,fire,crew',
      ),
    },
  },
  {
    name: 'one-line-for-the-load',
    about:
      'The controller saw three drops of one load; the crew wrote a single line for their sum. gallonage should count three drops, all corroborated, with fire and purpose from the crew and times and volumes from the controller.',
    files: {
      ...registry,
      'load.csv': loads,
      'flight.csv': flight,
      'drop-controller.csv': lines(
        dropHeader,
        '2026-07-04T18:30:20Z,N801ZY,740,,,controller',
        '2026-07-04T18:36:10Z,N801ZY,760,,,controller',
        '2026-07-04T18:43:50Z,N801ZY,1410,,,controller',
      ),
      'drop-crew.csv': lines(dropHeader, '2026-07-04T18:30:00Z,N801ZY,2900,Anvil Creek,fire,crew'),
    },
  },
  {
    name: 'unrecorded-release',
    about:
      'The tank was filled twice in a row and the gauge read empty before the second fill, but nobody wrote a drop between. gallonage should infer one opening for the tank and every door, with the finding `unrecorded-release`.',
    files: {
      ...registry,
      'flight.csv': flight,
      'load.csv': lines(
        loadHeader,
        '2026-07-04T18:00:00Z,N801ZY,JUN,J-00421,3000,retardant,controller,0,3000',
        '2026-07-04T19:30:00Z,N801ZY,JUN,J-00422,3000,retardant,controller,0,3000',
      ),
    },
  },
  {
    name: 'volume-above-capacity',
    about:
      'A digit too many: 14,000 gal from a tank of 3,000. gallonage should keep the row and give a finding of volume above capacity that names tank, capacity and line.',
    files: {
      ...registry,
      'load.csv': loads,
      'drop.csv': lines(dropHeader, '2026-07-04T18:30:20Z,N801ZY,14000,Anvil Creek,fire,crew'),
    },
  },
  {
    name: 'swapped-position',
    about:
      'Three positions that cannot be: latitude and longitude exchanged, 0/0, and a longitude without its minus sign. gallonage should read the first the other way round, since no latitude is beyond 90 degrees, use neither of the others to find a fire, and give a finding for each; the fire named by the crew still stands.',
    files: {
      ...registry,
      'drop.csv': lines(
        'dropped_at,aircraft,volume_gal,fire,latitude,longitude,purpose,witness',
        '2026-07-04T18:30:20Z,N801ZY,1400,Anvil Creek,-116.1,43.9,fire,crew',
        '2026-07-04T18:36:10Z,N801ZY,1390,Anvil Creek,0,0,fire,crew',
        '2026-07-04T18:42:00Z,N801ZY,150,Anvil Creek,43.9,116.1,fire,crew',
      ),
    },
  },
  {
    name: 'tank-in-two-places',
    about:
      'By the mountings, tank TX-101 sits in N801ZY and N802ZY at once. gallonage should give a finding that names both mountings; drops count for the newer mounting or are marked, never twice.',
    files: {
      ...registry,
      'registry/mounting.csv': lines(
        'tank,aircraft,on_at,off_at',
        'TX-101,N801ZY,2026-05-20T16:00:00Z,2026-08-01T00:00:00Z',
        'TX-101,N802ZY,2026-07-01T00:00:00Z,',
      ),
      'drop.csv': lines(dropHeader, '2026-07-04T18:30:20Z,N801ZY,1400,Anvil Creek,fire,crew'),
    },
  },
  {
    name: 'ticket-spelled-differently',
    about:
      'Ticket J-00421 was billed on line 1 and again, as `j 421`, on line 3. gallonage should find the duplicate and put its 10,260.00 in dispute.',
    files: {
      ...registry,
      ...contract,
      'load.csv': loads,
      'flight.csv': flight,
      'invoices/invoice-line.csv': lines(
        'invoice,line,contract,item,aircraft,from_on,ticket,quantity,unit_price,amount',
        'INV-T-2607,1,ZY-26-T,gallon-loaded,N801ZY,2026-07-04,J-00421,3000,3.42,10260.00',
        'INV-T-2607,2,ZY-26-T,gallon-loaded,N801ZY,2026-07-04,J-00422,2900,3.42,9918.00',
        'INV-T-2607,3,ZY-26-T,gallon-loaded,N801ZY,2026-07-04,j 421,3000,3.42,10260.00',
      ),
    },
  },
]
