import { parseHTML } from 'linkedom'
import readXlsxFile from 'read-excel-file/node'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { sumMoney } from '../../src/report/asking.ts'
import { findBrowser, PrintingFailed } from '../../src/report/index.ts'
import { html } from '../../src/report/markup.ts'
import { type House, house } from './questions.ts'

let room: House
beforeAll(async () => {
  room = await house()
})
afterAll(() => room.close())

async function pageOf(kind: 'season' | 'maintenance' | 'contract', params = {}) {
  const text = (await room.report(kind, params)).toHtml()
  return { text, document: parseHTML(text).document as unknown as Document }
}

function rowsOf(document: Document, caption: string): string[][] {
  const table = [...document.querySelectorAll('table')].find(
    (one) => one.querySelector('caption')?.textContent === caption,
  )
  if (!table) throw new Error(`no table ${caption}`)
  return [...table.querySelectorAll('tbody tr')].map((row) =>
    [...row.querySelectorAll('td')].map((cell) => cell.textContent!),
  )
}

describe('the season report', () => {
  test('has the numbers of the questions, with sums that agree', async () => {
    const { document } = await pageOf('season')
    expect(document.querySelector('.lead')!.textContent).toBe(
      '8,001\u00a0gal were delivered to 2 fires in 5 drops, in 7.0\u00a0h airborne.'.replace(
        '8,001',
        '8,001',
      ),
    )
    const fires = rowsOf(document, 'Gallons per fire')
    expect(fires.map((row) => row.slice(0, 4))).toEqual([
      ['CO-104', 'Dry Creek <east>', '3', '6,000'],
      ['NV-77', 'Long Valley', '1', '1,501'],
      ['unattributed', '–', '1', '500'],
      ['all', '', '5', '8,001'],
    ])
    const text = document.body.textContent!
    expect(text).toContain('The sum over fires, with the unattributed, equals the volume of fire drops.')
    expect(text).toContain(
      'With 1.5\u00a0h of flights that dropped on no fire, the hours add up to all 7.0\u00a0h airborne.',
    )
    expect(text).toContain(
      '2 files brought 15 rows: 12 accepted, 1 duplicate, 1 superseded, 1 quarantined. Every row read has exactly one fate.',
    )
    expect(text).toContain('25 %')
  })

  test('draws the pages’ charts as vectors, each with a text for who cannot see it', async () => {
    const { document } = await pageOf('season')
    const drawings = [...document.querySelectorAll('figure svg')]
    expect(drawings.length).toBeGreaterThanOrEqual(5)
    for (const drawing of drawings) expect(drawing.getAttribute('aria-label')!.length).toBeGreaterThan(10)
    for (const figure of document.querySelectorAll('figure'))
      expect(figure.querySelector('h3')!.textContent).not.toBe('')
  })

  test('says plainly what is missing', async () => {
    const { document } = await pageOf('season')
    const absent = [...document.querySelectorAll('.absent')].map((one) => one.textContent)
    expect(absent).toContain(
      'This installation has no question “setting-accuracy”, so this part is left out.',
    )
    expect(absent).toContain('No tank drifted beyond its control limits.')
    const { document: none } = await pageOf('season', { season: '1999' })
    expect(none.querySelector('.subtitle')!.textContent).toBe('Season 1999')
    expect(none.querySelector('.lead')!.textContent).toBe(
      'No drop on a fire is on record for this selection.',
    )
  })

  test('carries its date, its fingerprint and its method, and no script', async () => {
    const { text, document } = await pageOf('season')
    expect(document.querySelector('.imprint')!.textContent).toContain('f1f2f3')
    expect(text).toContain('content: "Season report · records f1f2f3 · 2026-11-01 09:30 UTC"')
    expect(text).toContain('counter(page)')
    expect(document.querySelectorAll('script, link, img').length).toBe(0)
    expect(document.querySelectorAll('.terms dt').length).toBeGreaterThan(5)
    expect([...document.querySelectorAll('h2')].map((one) => one.textContent)).toEqual([
      '1. Summary',
      '2. Fires',
      '3. Bases',
      '4. Aircraft',
      '5. Effectiveness',
      '6. Quality of the record',
      '7. Method and definitions',
    ])
  })

  test('the same records give the same report', async () => {
    expect((await pageOf('season')).text).toBe((await pageOf('season')).text)
  })

  test('a param that nothing takes, or a bad one, is one error', async () => {
    await expect(room.report('season', { seson: '2026' })).rejects.toThrow(
      /has no param seson; did you mean season\?/,
    )
  })
})

describe('the maintenance report', () => {
  test('puts the most urgent first, counts with parts, and says that it is a planning aid', async () => {
    const { document } = await pageOf('maintenance')
    const due = rowsOf(document, 'Limits that govern: the one of each task and item that comes first')
    expect(due.map((row) => [row[0], row[9]])).toEqual([
      ['seal check', 'overdue'],
      ['wash', 'ok'],
    ])
    expect(document.querySelector('.lead')!.textContent).toMatch(/^Of 2 tasks on items: 1 overdue, 0 due/)
    const caution =
      'This is a planning aid. The approved inspection programme, the maintenance manual and licensed staff decide.'
    expect(
      [...document.querySelectorAll('.caution')].filter((one) => one.textContent!.includes(caution)),
    ).toHaveLength(3)
    expect(rowsOf(document, 'Tanks')[0]).toEqual([
      'TK-1',
      'TK-1',
      'openings',
      '100',
      '300',
      '400',
      '5',
      '505',
    ])
    expect(rowsOf(document, 'Door cycles of components')).toHaveLength(1)
    expect(document.body.textContent).toContain('1 of 1 load cycles do not balance.')
  })
})

describe('the contract report', () => {
  test('has exact money, the lines by money, and unbilled work apart', async () => {
    const { document } = await pageOf('contract')
    expect(document.querySelector('.lead')!.textContent).toBe(
      '1,234,567.10 were billed on 1 invoice; 1,234,000.05 are supported by the records, a difference of 567.05.',
    )
    expect(
      rowsOf(document, 'Lines that the records do not bear out, by money').map((row) => [row[1], row[10]]),
    ).toEqual([['2', '567.05']])
    expect(rowsOf(document, 'Work on record that was never billed')).toHaveLength(1)
    expect(document.querySelector('.caution')!.textContent).toContain('not a verdict')
  })

  test('money is summed without rounding', () => {
    const rows = ['0.10', '0.20', '-0.30', '90071992547409.93', '0.01'].map((amount) => ({ amount }))
    expect(sumMoney(rows, 'amount')).toBe('90071992547409.94')
    expect(sumMoney([{ amount: '-0.05' }], 'amount')).toBe('-0.05')
    expect(sumMoney([], 'amount')).toBe('0.00')
  })
})

describe('the workbook', () => {
  test('has every table whole, typed, and a sheet that says what they are', async () => {
    const sheets = await readXlsxFile(Buffer.from(await (await room.report('contract')).toXlsx()))
    const names = sheets.map((sheet) => sheet.sheet)
    expect(names[0]).toBe('About')
    expect(names).toContain('invoice-findings')
    const lines = sheets.find((sheet) => sheet.sheet === 'invoice-findings')!.data
    expect(lines).toHaveLength(4)
    expect(lines[2]!.slice(8)).toEqual([600.05, 33, 567.05])
    expect(JSON.stringify(sheets[0]!.data)).toContain('f1f2f3')
    for (const kind of ['season', 'maintenance'] as const) {
      const book = await readXlsxFile(Buffer.from(await (await room.report(kind)).toXlsx()))
      expect(new Set(book.map((sheet) => sheet.sheet.toLowerCase())).size).toBe(book.length)
    }
  })
})

describe('paper', () => {
  test('without a browser the message says what to do', async () => {
    const report = await room.report('season')
    await expect(report.toPdf({ CHROMIUM_PATH: '/nowhere/chromium' })).rejects.toThrow(PrintingFailed)
    await expect(report.toPdf({ CHROMIUM_PATH: '/nowhere/chromium' })).rejects.toThrow(
      /correct it, or write the report as \.html/,
    )
  })

  test.skipIf(findBrowser() === null)('is a PDF', async () => {
    const pdf = Buffer.from(await (await room.report('season')).toPdf())
    expect(pdf.subarray(0, 5).toString()).toBe('%PDF-')
    expect(pdf.length).toBeGreaterThan(20_000)
  })
})

test('text from the records cannot become markup', () => {
  expect(html`<p>${'<b onclick="x">&'}</p>${[html`<i>${"'"}</i>`, null, 3]}`.text).toBe(
    '<p>&lt;b onclick=&quot;x&quot;&gt;&amp;</p><i>&#39;</i>3',
  )
})
