import { join, resolve } from 'node:path'
import { describe, expect, test } from 'vitest'
import { House } from './house.ts'

const folder = resolve(import.meta.dirname, '../../sample-logs/troubles')

interface Trouble {
  /** File name → read, accepted, duplicate, superseded, quarantined; null: not taken. */
  files: Record<string, [number, number, number, number, number] | null>
  /** Parts of what is said about files that were not taken, or taken with a note. */
  says?: RegExp[]
  /** Reasons of rows in quarantine, in order of line. */
  reasons?: RegExp[]
  findings?: string[]
}

const troubles: Record<string, Trouble> = {
  'broken-profile': {
    files: { 'drop.csv': [1, 1, 0, 0, 0], 'sheet.csv': null },
    says: [/broken\.json:4: the profile is not JSON/, /fit no profile/],
  },
  'clock-an-hour-off': {
    files: { 'drop-controller.csv': [4, 4, 0, 0, 0], 'drop-crew.csv': [4, 4, 0, 0, 0] },
    findings: ['clock-offset'],
  },
  'clock-change': {
    files: { 'sheet.csv': [2, 2, 0, 0, 0] },
    findings: ['impossible-time', 'ambiguous-time'],
  },
  'corrected-row': {
    files: { 'sheet-20260704.csv': [1, 0, 0, 1, 0], 'sheet-20260705.csv': [1, 1, 0, 0, 0] },
  },
  'date-that-does-not-exist': {
    files: { 'drop.csv': [2, 1, 0, 0, 1] },
    reasons: [/day 31 does not exist in June 2026/],
  },
  'empty-file': {
    files: { 'drop.csv': null, 'drop-good.csv': [1, 1, 0, 0, 0] },
    says: [/the file is empty/],
  },
  'grown-file': { files: { 'drop-20260704.csv': [1, 1, 0, 0, 0], 'drop-20260705.csv': [2, 1, 1, 0, 0] } },
  'header-only': { files: { 'drop.csv': [0, 0, 0, 0, 0] } },
  'mended-line': {
    files: { 'sheet-20260704.csv': [3, 2, 0, 1, 0], 'sheet-20260705.csv': [4, 2, 2, 0, 0] },
  },
  'misspelt-fire': { files: { 'drop.csv': [2, 2, 0, 0, 0] }, findings: ['unknown-fire'] },
  'not-a-number': {
    files: { 'drop.csv': [4, 1, 0, 0, 3] },
    reasons: [/not a finite number/, /too large|beyond/, /below 0/],
  },
  'nul-byte': { files: { 'drop.csv': [3, 2, 0, 0, 1] }, reasons: [/NUL byte/] },
  'ragged-rows': {
    files: { 'drop.csv': [3, 1, 0, 0, 2] },
    reasons: [/7 cells, the header has 6/, /2 cells, the header has 6/],
  },
  'repeated-header': { files: { 'drop.csv': [3, 2, 0, 0, 1] }, reasons: [/the header line again/] },
  'swapped-position': {
    files: { 'drop.csv': [3, 3, 0, 0, 0] },
    findings: ['position-swapped', 'position-zero', 'position-sign'],
  },
  'tank-in-two-places': { files: { 'drop.csv': [1, 1, 0, 0, 0] }, findings: ['tank-in-two-places'] },
  'truncated-gzip': { files: { 'drop.csv.gz': null }, says: [/gzip file ends too early/] },
  'two-profiles-fit': { files: { 'sheet.csv': null }, says: [/'first-sheet' and 'second-sheet'/] },
  'unknown-aircraft': {
    files: { 'drop.csv': [3, 2, 0, 0, 1] },
    reasons: [/no aircraft on record is called N807ZY; did they mean N801ZY/],
  },
  'unknown-file': { files: { 'fuel-slips.csv': null }, says: [/gallonage profile draft/] },
  'unrecorded-release': { files: { 'load.csv': [2, 2, 0, 0, 0] }, findings: ['unrecorded-release'] },
  'volume-above-capacity': { files: { 'drop.csv': [1, 1, 0, 0, 0] }, findings: ['volume-above-capacity'] },
  'wrong-encoding': { files: { 'sheet.csv': [1, 1, 0, 0, 0] }, says: [/read as windows-1252/] },
}

describe.each(Object.entries(troubles))('%s', (name, trouble) => {
  test('one clear message, and the rest lands', async () => {
    const house = await House.open()
    const said = await house.say('ingest', '--json', join(folder, name))
    expect(said.code).toBe(0)
    const report = JSON.parse(said.out) as {
      files: (Record<string, number> & { path: string; profile: string | null; problem?: string })[]
      problems?: string[]
    }
    for (const [file, counts] of Object.entries(trouble.files)) {
      const line = report.files.find((one) => one.path.endsWith(`${name}/${file}`))!
      if (counts === null) expect(line.profile, file).toBeNull()
      else
        expect([line.read, line.accepted, line.duplicate, line.superseded, line.quarantined], file).toEqual(
          counts,
        )
    }
    for (const line of report.files)
      expect(line.read).toBe(line.accepted! + line.duplicate! + line.superseded! + line.quarantined!)
    const spoken = [...report.files.map((file) => file.problem ?? ''), ...(report.problems ?? [])].join('\n')
    for (const part of trouble.says ?? []) expect(spoken).toMatch(part)
    expect(spoken + said.err).not.toMatch(/\n\s+at /)
    const quarantine = (await house.rows<{ line: number; reason: string }>('quarantine')).sort(
      (a, b) => a.line - b.line,
    )
    expect(quarantine).toHaveLength(trouble.reasons?.length ?? 0)
    quarantine.forEach((row, i) => {
      expect(row.reason).toMatch(trouble.reasons![i]!)
    })
    const findings = (await house.rows<{ finding: string }>('findings')).map((row) => row.finding)
    for (const finding of trouble.findings ?? []) expect(findings).toContain(finding)
    await house.close()
  })
})

test('the same bytes twice change nothing: every row is a duplicate', async () => {
  const house = await House.open()
  const report = await house.ingest(join(folder, 'same-file-twice'))
  const copies = report.files.filter((file) => file.path.includes('/drop'))
  expect(copies.map((file) => [file.accepted, file.duplicate]).sort()).toEqual([
    [0, 2],
    [2, 0],
  ])
  await house.close()
})
