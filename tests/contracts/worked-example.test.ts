import { execFileSync } from 'node:child_process'
import { join } from 'node:path'
import readXlsxFile from 'read-excel-file/node'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'
import { expected } from '../simulator/worked-answers.ts'
import { workedExampleFiles } from '../simulator/worked-example.ts'

let house: House

beforeAll(async () => {
  house = await House.open()
  await house.ingest(
    await folderOf(Object.fromEntries(workedExampleFiles.map((file) => [file.path, file.text]))),
  )
})
afterAll(() => house.close())

describe('the invoice worked by hand', () => {
  test('every line, and the load that nobody billed', async () => {
    const rows = await house.rows('invoice-findings')
    expect(rows).toHaveLength(expected['invoice-findings'].length)
    for (const want of expected['invoice-findings'])
      expect(rows.find((row) => row.line === want.line)).toMatchObject(want)
  })

  test('the largest money first', async () => {
    const money = (await house.rows('invoice-findings')).map((row) => Math.abs(Number(row.difference_amount)))
    expect(money).toEqual([...money].sort((a, b) => b - a))
  })

  test('sums of the invoice', async () => {
    const rows = await house.rows('invoice-summary')
    expect(rows).toHaveLength(1)
    expect(rows[0]).toMatchObject({
      ...expected['invoice-summary'][0],
      in_dispute: '14040.00',
      under_billed: '0.00',
      questioned: 4,
      lines: 6,
    })
    expect(await house.rows('invoice-totals')).toMatchObject([
      {
        contract: 'C-9',
        currency: 'USD',
        billed: '52137.50',
        difference: '14040.00',
        unbilled: expected.unbilled,
      },
    ])
  })

  test('each line leads to its evidence', async () => {
    const rows = await house.rows<{ line: string | null; evidence: string[] }>('invoice-findings')
    const of = (line: string | null) => rows.find((row) => row.line === line)!.evidence
    expect(of('2')).toEqual(['load:L-N801ZY-20260704T180000Z'])
    expect(of('1')).toHaveLength(4)
    expect(of('4')).toEqual(['load:L-N801ZY-20260704T193000Z', 'invoice-line:C-9/I-1/3'])
    expect(of(null)).toEqual(['load:L-N801ZY-20260704T220000Z'])
    const evidence = JSON.parse((await house.say('evidence', 'invoice-line', 'C-9/I-1/4', '--json')).out)
    expect(evidence.related.map((one: { kind: string; id: string }) => `${one.kind}:${one.id}`)).toEqual(
      [...of('4')].sort(),
    )
    expect(evidence.findings.map((one: { finding: string }) => one.finding)).toContain('invoice-duplicate')
  })

  test('a note is shown with its line, and the newest word holds', async () => {
    for (const [state, reason] of [
      ['disputed', 'same ticket as line 3'],
      ['credited', 'credit promised by telephone'],
    ] as const)
      expect(
        (
          await house.say(
            'amend',
            'line',
            'C-9',
            'I-1',
            '4',
            '--state',
            state,
            '--reason',
            reason,
            '--by',
            'R. Alder',
          )
        ).code,
      ).toBe(0)
    const rows = await house.rows('invoice-findings')
    expect(rows.find((row) => row.line === '4')).toMatchObject({
      note_state: 'credited',
      note_by: 'R. Alder',
      note_reason: 'credit promised by telephone',
    })
    expect(rows.find((row) => row.line === '3')).toMatchObject({ note_state: null })
  })

  test('a workbook for the other party recomputes its amounts', async () => {
    const folder = await folderOf({})
    const path = join(folder, 'invoices.xlsx')
    expect((await house.say('reconcile', '--workbook', path)).err).toBe(`wrote ${path}\n`)
    const sheets = await readXlsxFile(path)
    expect(sheets.map((sheet) => sheet.sheet)).toEqual(['C-9', 'C-9 unbilled'])
    const head = sheets[0]!.data[2]!
    const rows = sheets[0]!.data.slice(3)
    expect(rows).toHaveLength(6)
    const over = rows.find((row) => row[head.indexOf('Finding')] === 'quantity-over')!
    expect(over[head.indexOf('Amount billed')]).toBe(19000)
    const xml = execFileSync('unzip', ['-p', path, 'xl/worksheets/sheet1.xml'], { encoding: 'utf8' })
    const formulas = [...xml.matchAll(/<f>([^<]*)<\/f>/g)].map((match) => match[1]!)
    expect(formulas).toContain('SUM(P4:P9)')
    const line = 4 + rows.indexOf(over)
    expect(formulas).toEqual(
      expect.arrayContaining([
        `ROUND(I${line}*J${line},2)`,
        `ROUND(M${line}*N${line},2)`,
        `L${line}-O${line}`,
        `MAX(P${line},0)`,
      ]),
    )
    expect((await house.say('reconcile', '--workbook', 'invoices.pdf')).code).toBe(2)
  })

  test('findings stand among all others', async () => {
    const kinds = (await house.rows('findings')).map((row) => row.finding)
    expect(kinds).toEqual(
      expect.arrayContaining([
        'invoice-duplicate',
        'invoice-rate',
        'invoice-no-evidence',
        'invoice-quantity-over',
        'never-billed',
        'unrecorded-release',
      ]),
    )
  })

  test('a rebuild gives the same', async () => {
    const said = await house.say('verify')
    expect(said.err).toBe('')
    expect(said.out).toContain('every row is the same')
    expect(said.code).toBe(0)
  })
})
