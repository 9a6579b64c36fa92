/**
 * A season small enough to check on paper: one tank, two aircraft, five drops, one release that nobody
 * wrote down, and one invoice of six lines. Every number of `expected` was worked out by hand.
 */

export interface TextFile {
  path: string
  text: string
}

const lines = (...rows: string[]): string => `${rows.join('\n')}\n`

/** The registry: what is on record before the first log arrives. Canonical headers, so no profile. */
export const registryFiles: TextFile[] = [
  { path: 'registry/aircraft.csv', text: lines('registration,call_number', 'N801ZY,T801', 'N802ZY,T802') },
  { path: 'registry/tank.csv', text: lines('serial,capacity_gal,doors', 'K-1,2000,2') },
  {
    path: 'registry/mounting.csv',
    text: lines(
      'tank,aircraft,on_at,off_at',
      'K-1,N801ZY,2026-07-01T00:00:00Z,2026-07-11T00:00:00Z',
      'K-1,N802ZY,2026-07-11T00:00:00Z,',
    ),
  },
  { path: 'registry/component.csv', text: lines('serial,kind', 'D-A,door', 'D-B,door') },
  {
    path: 'registry/fitting.csv',
    text: lines(
      'component,tank,position,on_at,off_at',
      'D-A,K-1,door-1,2026-06-01T00:00:00Z,',
      'D-B,K-1,door-2,2026-06-01T00:00:00Z,',
    ),
  },
  {
    path: 'registry/baseline.csv',
    text: lines(
      'item,counter,value,counted_at',
      'K-1,openings,100,2026-06-30T00:00:00Z',
      'D-A,door-cycles,100,2026-06-30T00:00:00Z',
      'D-B,door-cycles,100,2026-06-30T00:00:00Z',
    ),
  },
  { path: 'registry/base.csv', text: lines('code,name,zone', 'JUN,Juniper Flat,America/Boise') },
  {
    path: 'registry/fire.csv',
    text: lines(
      'number,latitude,longitude,started_at,ended_at,radius_nm',
      'F-1,43.0,-115.0,2026-07-01T00:00:00Z,2026-08-01T00:00:00Z,5',
      'F-2,43.5,-115.0,2026-07-01T00:00:00Z,2026-08-01T00:00:00Z,5',
    ),
  },
]

/** What has to be inspected when, and what was done. */
export const maintenanceFiles: TextFile[] = [
  {
    path: 'maintenance/task.csv',
    text: lines(
      'task,title,applies_to,counter,interval,tolerance,triggered_by,within',
      'DH,Door hinge inspection,door,door-cycles,50,5,,',
      'ER,Inspection after an emergency release,tank,openings,,,emergency-release,1',
    ),
  },
  {
    path: 'maintenance/accomplishment.csv',
    text: lines(
      'task,item,done_at,reading',
      'DH,D-A,2026-06-01T00:00:00Z,60',
      'DH,D-B,2026-06-01T00:00:00Z,60',
    ),
  },
]

/** The contract and the one invoice held against it. */
export const contractFiles: TextFile[] = [
  {
    path: 'contract/contract.csv',
    text: lines(
      'number,starts_on,ends_on,aircraft,currency,volume_tolerance_pct,hours_step,hours_rounding,hours_per',
      'C-9,2026-07-01,2026-07-31,N801ZY,USD,2,0.1,half-up,flight',
    ),
  },
  {
    path: 'contract/rate.csv',
    text: lines('contract,item,unit_price', 'C-9,flight-hour,5000.00', 'C-9,gallon-loaded,3.25'),
  },
  {
    path: 'contract/invoice-line.csv',
    text: lines(
      'invoice,line,contract,item,aircraft,from_on,ticket,quantity,unit_price,amount',
      'I-1,1,C-9,flight-hour,N801ZY,2026-07-04,,3.8,5000.00,19000.00',
      'I-1,2,C-9,gallon-loaded,N801ZY,2026-07-04,T1,2000,3.25,6500.00',
      'I-1,3,C-9,gallon-loaded,N801ZY,2026-07-04,T2,2030,3.25,6597.50',
      'I-1,4,C-9,gallon-loaded,N801ZY,2026-07-04,T-2,2000,3.25,6500.00',
      'I-1,5,C-9,gallon-loaded,N801ZY,2026-07-04,T3,2000,3.52,7040.00',
      'I-1,6,C-9,gallon-loaded,N801ZY,2026-07-04,T9,2000,3.25,6500.00',
    ),
  },
]

const crewHeader = 'Date,Local time,Aircraft,Gallons,Split,Fire,Position,Purpose'
const crewFirst = '07/04/2026,12:30,N801ZY,"1,000 gal",half,F-1,,'
const crewSecond = '07/04/2026,12:36,N801ZY,"1,000 gal",1/2,F-2,,'
const crewThird = '07/04/2026,14:00,N801ZY,"2,000 gal",full,,43° 00.600′ N 115° 00.000′ W,'

/** The logs of the two days, one file per witness. */
export const logFiles: TextFile[] = [
  {
    path: 'logs/load-tickets.csv',
    text: lines(
      'loaded_at,aircraft,base,ticket,volume_gal,fluid,witness',
      '2026-07-04T18:00:00Z,N801ZY,JUN,T1,2000,retardant,ticket',
      '2026-07-04T19:30:00Z,N801ZY,JUN,T2,2000,retardant,ticket',
      '2026-07-04T21:00:00Z,N801ZY,JUN,T3,2000,retardant,ticket',
      '2026-07-04T22:00:00Z,N801ZY,JUN,T4,2000,retardant,ticket',
    ),
  },
  {
    path: 'logs/flight-log.csv',
    text: lines(
      'off_at,on_at,aircraft,witness',
      '2026-07-04T18:10:00Z,2026-07-04T19:10:00Z,N801ZY,crew',
      '2026-07-04T19:40:00Z,2026-07-04T20:40:00Z,N801ZY,crew',
      '2026-07-04T21:10:00Z,2026-07-04T21:50:00Z,N801ZY,crew',
      '2026-07-04T22:10:00Z,2026-07-04T23:10:00Z,N801ZY,crew',
    ),
  },
  {
    path: 'logs/controller.csv',
    text: lines(
      'dropped_at,aircraft,volume_gal,purpose,doors,witness',
      '2026-07-04T18:30:20Z,N801ZY,980,,,controller',
      '2026-07-04T18:36:10Z,N801ZY,1010,,,controller',
      '2026-07-04T22:30:00Z,N801ZY,2000,emergency,,controller',
      '2026-07-12T17:00:00Z,N802ZY,0,ground-test,1,controller',
    ),
  },
  { path: 'logs/crew-sheet-20260705.csv', text: lines(crewHeader, crewFirst, crewSecond, crewThird) },
]

/** The crew sheet's profile: local times, one position column, words for fractions. */
export const profileFiles: TextFile[] = [
  {
    path: 'profiles/juniper-crew-sheet.json',
    text: `${JSON.stringify(
      {
        profile: 'juniper-crew-sheet',
        format: 'csv',
        headers: ['Date', 'Local time', 'Aircraft', 'Gallons', 'Split', 'Fire', 'Position', 'Purpose'],
        zone: 'America/Boise',
        issued_at: { name: '(\\d{8})\\.csv$', format: '%Y%m%d' },
        records: [
          {
            kind: 'drop',
            witness: 'crew',
            fields: {
              dropped_at: { from: ['Date', 'Local time'], format: ['%m/%d/%Y %H:%M'] },
              aircraft: { from: 'Aircraft' },
              volume: { from: 'Gallons', unit: 'gal_us' },
              fraction: { from: 'Split' },
              fire: { from: 'Fire' },
              position: { from: 'Position' },
              purpose: { from: 'Purpose' },
            },
          },
        ],
      },
      null,
      2,
    )}\n`,
  },
]

export const workedExampleFiles: TextFile[] = [
  ...registryFiles,
  ...maintenanceFiles,
  ...contractFiles,
  ...profileFiles,
  ...logFiles,
]

/** The same sheet a day later: the 12:36 line now says 1,050 gal, and a fourth line tells of the emergency. */
export const resentCrewSheet: TextFile = {
  path: 'logs/crew-sheet-20260706.csv',
  text: lines(
    crewHeader,
    crewFirst,
    crewSecond.replace('1,000', '1,050'),
    crewThird,
    '07/04/2026,16:30,N801ZY,"2,000 gal",full,,,emergency',
  ),
}

/** Fates of the re-sent sheet, and of the first sheet once the second has arrived. */
export const expectedResend = {
  resent: { read: 4, accepted: 2, duplicate: 2, superseded: 0, quarantined: 0 },
  firstSheetAfterwards: { read: 3, accepted: 2, duplicate: 0, superseded: 1, quarantined: 0 },
  /** The controller goes before the crew, so the drop keeps its volume; the evidence shows 1,050. */
  drop: { dropped_at: '2026-07-04T18:36:10Z', volume_gal: 1010, beaten_gal: 1050 },
}
