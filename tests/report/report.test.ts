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

async function pageOf(kind: 'season' | 'maintenance' | 'contract' | 'statement', params = {}) {
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
      '8,001\u00a0gal were delivered to 2 fires in 5 drops, in 7.0\u00a0h airborne. Of 7 drops that an observer judged, 86 % did what was asked of them. 25 % of all drops are attested by two witnesses.',
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
    expect(
      rowsOf(
        document,
        'Tanks: total of each counter, the part of the openings that is inferred, and how far all have reported',
      ),
    ).toEqual([['TK-1', '505', '5', '–']])
    expect(
      rowsOf(document, 'Door cycles of components, by the tank and door that they are fitted to'),
    ).toHaveLength(1)
    expect(document.querySelector('.pair figure h3')!.textContent).toMatch(
      /^TK-1 has 80 retardant-openings left to wash; likely due 20 August/,
    )
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
      rowsOf(document, 'Lines that the records do not bear out, by money').map((row) => [
        row[1],
        row[9],
        row[11],
      ]),
    ).toEqual([['2', '567.05', 'disputed: wrong ticket (R. Alder)']])
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

describe('the statement on an invoice', () => {
  test('has every line with its evidence, amounts and findings, the note with its name, and room to sign', async () => {
    const { text, document } = await pageOf('statement', { invoice: 'INV-1' })
    expect(document.querySelector('h1')!.textContent).toBe('Statement on invoice INV-1')
    const lines = rowsOf(document, 'All lines of invoice INV-1')
    expect(lines.map((row) => [row[0], row[7], row[9], row[10], row[11]])).toEqual([
      ['1', '100.10', '100.10', '0.00', 'ok'],
      ['2', '600.05', '33.00', '567.05', 'quantity-over'],
      ['all', '700.15', '133.10', '567.05', ''],
    ])
    expect(lines[0]![3]).toBe('4 Jul 2026')
    expect(lines[0]![6]).toBe('3.42')
    expect(lines[1]![12]).toBe('L-1, line 1 of INV-1, 1 line of the logs')
    const [question] = rowsOf(document, 'Lines to discuss, by money')
    expect(question!.slice(5)).toEqual([
      '<b>600.05</b> billed',
      'L-1, line 1 of INV-1, 1 line of the logs',
      'disputed: wrong ticket (R. Alder)',
    ])
    // What a record says is never markup.
    expect(text).not.toContain('<b>600.05')
    expect(document.querySelectorAll('.sign div')).toHaveLength(2)
    expect(text).toContain('size: A4 landscape')
  })

  test('of an invoice that is not on record says so', async () => {
    const { document } = await pageOf('statement', { invoice: 'NONE' })
    expect(document.querySelector('.absent')!.textContent).toBe(
      'No such invoice is on record; check its number.',
    )
  })
})

describe('another look', () => {
  test('metric units and a zone reach charts, tables, sentences, imprint and workbook', async () => {
    const look = { units: 'metric', zone: 'America/Denver' } as const
    const report = await room.report('season', {}, look)
    const document = parseHTML(report.toHtml()).document as unknown as Document
    // 8000.5 gal × 3.785411784 L
    expect(document.querySelector('.lead')!.textContent).toMatch(/^30,285\u00a0L were delivered/)
    expect(document.querySelector('.imprint')!.textContent).toContain(
      'litres, metres, hours; times of America/Denver',
    )
    expect(rowsOf(document, 'Gallons per fire')[0]!.slice(2, 4)).toEqual(['3', '22,712'])
    expect(document.body.textContent).toContain('delivered, L')
    expect(document.body.textContent).not.toMatch(/\d\u00a0gal\b/)
    const sheets = await readXlsxFile(Buffer.from(await report.toXlsx()))
    const [head, first] = sheets.find((sheet) => sheet.sheet === 'gallons-by-fire')!.data
    expect(head![3]).toBe('delivered, L')
    expect(first![3]).toBeCloseTo(6000 * 3.785411784, 6)
  })
})

describe('the map', () => {
  test('is drawn on paper too, with its drops, bases and fires', async () => {
    const { document } = await pageOf('season')
    const labels = [...document.querySelectorAll('figure svg')].map((one) => one.getAttribute('aria-label'))
    expect(labels).toContain('Map of 4 drops, 1 base and 1 fire.')
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
    expect(lines[2]!.slice(8, 11)).toEqual([600.05, 33, 567.05])
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
