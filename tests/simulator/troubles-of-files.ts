import { gzipSync } from 'node:zlib'
import { dropHeader, lines, registry, type Trouble } from './trouble.ts'

const good = '2026-07-04T18:30:20Z,N801ZY,1400,Anvil Creek,fire,crew'
const later = '2026-07-04T18:36:10Z,N801ZY,1390,Anvil Creek,fire,crew'
const sheetProfile = (name: string, more: object = {}): string =>
  `${JSON.stringify(
    {
      profile: name,
      format: 'csv',
      headers: ['When', 'Tanker', 'Gals'],
      zone: 'America/Boise',
      ...more,
      records: [
        {
          kind: 'drop',
          witness: 'crew',
          fields: {
            dropped_at: { from: 'When', format: ['%m/%d/%Y %H:%M'] },
            aircraft: { from: 'Tanker' },
            volume: { from: 'Gals', unit: 'gal_us' },
            fire: { from: 'Incident' },
          },
        },
      ],
    },
    null,
    2,
  )}\n`
const sheet = lines('When,Tanker,Gals,Incident', '07/04/2026 12:30,N801ZY,1400,Anvil Creek')
const mended = [
  'When,Tanker,Gals,Incident',
  '07/04/2026 12:30,N801ZY,1400,Anvil Creek',
  '07/04/2026 13:30,N801ZY,1380,Anvil Creek',
  '07/04/2026 14:20,N801ZY,1410,Anvil Creek',
]
const many = Array.from(
  { length: 60 },
  (_, index) =>
    `2026-07-05T${18 + Math.floor(index / 30)}:${String((index * 2) % 60).padStart(2, '0')}:00Z,N801ZY,400,,fire,crew`,
)

/** Files that cannot be read as they should: each gives one clear message, and the rest of the run lands. */
export const troublesOfFiles: Trouble[] = [
  {
    name: 'empty-file',
    about:
      '`drop.csv` has no bytes at all. gallonage should name the file and say that it is empty; the other file of the folder lands.',
    files: { ...registry, 'drop.csv': '', 'drop-good.csv': lines(dropHeader, good) },
  },
  {
    name: 'header-only',
    about:
      '`drop.csv` has its header line and no rows. gallonage should recognise it, read 0 rows, and go on.',
    files: { ...registry, 'drop.csv': lines(dropHeader) },
  },
  {
    name: 'truncated-gzip',
    about:
      '`drop.csv.gz` was cut off while it was copied. gallonage should say that the compressed file ends early and ask for it again; no half of it may land as if it were whole.',
    files: { ...registry, 'drop.csv.gz': gzipSync(lines(dropHeader, ...many)).subarray(0, 120) },
  },
  {
    name: 'wrong-encoding',
    about:
      'The profile says utf-8, but the sheet was saved as windows-1252: the fire `Cañon Piñon` has bytes that are not utf-8. gallonage should read it as windows-1252, say so beside the file, and ask to check the accents and to name the encoding in the profile.',
    files: {
      ...registry,
      'profiles/utf-8-sheet.json': sheetProfile('utf-8-sheet', { csv: { encoding: 'utf-8' } }),
      'sheet.csv': Buffer.from(
        lines('When,Tanker,Gals,Incident', '07/04/2026 12:30,N801ZY,1400,Cañon Piñon'),
        'latin1',
      ),
    },
  },
  {
    name: 'ragged-rows',
    about:
      'Line 3 of `drop.csv` has one cell too many and line 4 ends early. gallonage should quarantine both with their line numbers and say how many cells each has and how many the header has; the first row lands.',
    files: {
      ...registry,
      'drop.csv': lines(dropHeader, good, `${later},extra`, '2026-07-04T19:30:00Z,N801ZY'),
    },
  },
  {
    name: 'repeated-header',
    about:
      'Two downloads were glued together: the header line stands again in the middle of `drop.csv`. gallonage should not take it for a drop; it is quarantined with the reason, and the rows around it land.',
    files: { ...registry, 'drop.csv': lines(dropHeader, good, dropHeader, later) },
  },
  {
    name: 'nul-byte',
    about:
      'Line 3 of `drop.csv` holds NUL bytes, as a card pulled out too early leaves them. gallonage should quarantine that line and name it; the two other rows land.',
    files: {
      ...registry,
      'drop.csv': lines(dropHeader, good, '2026-07-04T18:33:00Z,N801ZY,\0\0\0\0,,fire,crew', later),
    },
  },
  {
    name: 'unknown-file',
    about:
      '`fuel-slips.csv` is no log that any profile knows. gallonage should say that nothing fits its headers, and that `profile draft` proposes a profile.',
    files: { ...registry, 'fuel-slips.csv': lines('Slip,Litres,Grade', '1,900,A') },
  },
  {
    name: 'two-profiles-fit',
    about:
      'Two profiles with the same signature fit `sheet.csv` equally well. gallonage should refuse to guess and name both profiles.',
    files: {
      ...registry,
      'profiles/first-sheet.json': sheetProfile('first-sheet'),
      'profiles/second-sheet.json': sheetProfile('second-sheet', { zone: 'America/Los_Angeles' }),
      'sheet.csv': sheet,
    },
  },
  {
    name: 'broken-profile',
    about:
      'The profile is not JSON (a comma is missing). gallonage should name the profile file and the place in it; the canonical `drop.csv` beside it lands.',
    files: {
      ...registry,
      'profiles/broken.json': sheetProfile('broken').replace('"format": "csv",', '"format": "csv"'),
      'drop.csv': lines(dropHeader, good),
      'sheet.csv': sheet,
    },
  },
  {
    name: 'same-file-twice',
    about:
      '`drop.csv` and `drop-copy.csv` hold the same bytes. gallonage should count every row of one of them as a duplicate: two drops in all.',
    files: {
      ...registry,
      'drop.csv': lines(dropHeader, good, later),
      'drop-copy.csv': lines(dropHeader, good, later),
    },
  },
  {
    name: 'grown-file',
    about:
      'The same sheet was sent on two evenings; the second has a row more. gallonage should find one duplicate and one new row in it: two drops in all.',
    files: {
      ...registry,
      'drop-20260704.csv': lines(dropHeader, good),
      'drop-20260705.csv': lines(dropHeader, good, later),
    },
  },
  {
    name: 'corrected-row',
    about:
      'The sheet was sent again with the volume of 12:30 put right from 1,400 to 1,450 gal (the day of issue is in the name). gallonage should let the newer row stand and keep the older one, superseded, in the history: one drop of 1,450 gal.',
    files: {
      ...registry,
      'profiles/dated-sheet.json': sheetProfile('dated-sheet', {
        issued_at: { name: '(\\d{8})\\.csv$', format: '%Y%m%d' },
      }),
      'sheet-20260704.csv': sheet,
      'sheet-20260705.csv': sheet.replace('1400', '1450'),
    },
  },
  {
    name: 'mended-line',
    about:
      'A sheet with a line at half past 25 was sent again with that line put right and one more below. gallonage should quarantine the line when only the first file is there; with both, the mended line stands for it, it counts as superseded, and nothing waits: four drops.',
    files: {
      ...registry,
      'profiles/dated-sheet.json': sheetProfile('dated-sheet', {
        issued_at: { name: '(\\d{8})\\.csv$', format: '%Y%m%d' },
      }),
      'sheet-20260704.csv': lines(...mended).replace('13:30', '25:30'),
      'sheet-20260705.csv': lines(...mended, '07/04/2026 15:10,N801ZY,1390,Anvil Creek'),
    },
  },
]
