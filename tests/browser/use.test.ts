import { readFile } from 'node:fs/promises'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { buildPages } from '../dashboards/build-pages.ts'
import { type Fixture, startFixture } from '../dashboards/fixture-server.ts'
import { drops } from '../dashboards/invented-season.ts'
import { type Opened, open, settled, violations } from './audit.ts'
import { launch } from './browser.ts'

/** How people use the pages, on invented answers: what each test needs to happen can be made to happen. */
const browser: Browser | null = await launch()
let fixture: Fixture
let opened: Opened
let page: Page

const someDrop = String(drops[3]!.drop)
const at = (search: string, name: string): string => `${fixture.url}/${search}#/${name}`
const visit = async (search: string, name: string): Promise<void> => {
  await page.goto('about:blank')
  await page.goto(at(search, name))
  await settled(page)
}

beforeAll(async () => {
  fixture = await startFixture(await buildPages())
})
afterAll(async () => {
  await browser?.close()
  await fixture?.close()
})
beforeEach(async () => {
  await opened?.close()
  if (!browser) return
  opened = await open(browser, { acceptDownloads: true })
  page = opened.page
})

describe.skipIf(!browser)('in the browser', { timeout: 120_000 }, () => {
  test('a filter goes into the address, and the address gives the same page to a colleague', async () => {
    await visit('', 'fires')
    const all = await page.locator('[data-chart="gallons-by-fire"] h3').innerText()
    await page.selectOption('select[name=base]', 'JUN')
    await page.waitForFunction(
      (before) => document.querySelector('[data-chart="gallons-by-fire"] h3')?.textContent !== before,
      all,
    )
    expect(page.url()).toContain('base=JUN')
    const narrowed = await page.locator('[data-chart="gallons-by-fire"] h3').innerText()
    const link = page.url()
    await visit(link.slice(link.indexOf('?'), link.indexOf('#')), 'fires')
    expect(await page.locator('[data-chart="gallons-by-fire"] h3').innerText()).toBe(narrowed)
    expect(await page.locator('select[name=base]').inputValue()).toBe('JUN')
    await page.getByRole('button', { name: 'Clear filters' }).click()
    expect(page.url()).not.toContain('base=')
  })

  test('a mark in a chart narrows the page to what it stands for', async () => {
    await visit('', 'fires')
    await page.locator('[data-chart="gallons-by-fire"] svg a').first().click()
    expect(page.url()).toMatch(/fire=F-\d+/)
    await settled(page)
    await page.goBack()
    expect(page.url()).not.toContain('fire=')
  })

  test('an answer that a filter does not narrow says so', async () => {
    await visit('?fire=F-1', 'bases')
    expect(await page.locator('.left-out').first().innerText()).toContain('Not narrowed by fire')
    await visit('?base=JUN', 'bases')
    expect(await page.locator('.left-out').count()).toBe(0)
  })

  test('units and zone stand in the address and in every header', async () => {
    await visit('', 'fires')
    const heading = page.locator('th', { hasText: 'delivered' }).first()
    expect(await heading.innerText()).toMatch(/gal$/)
    const gallons = Number((await page.locator('td.number').nth(1).innerText()).replaceAll(',', ''))
    await page.selectOption('select[name=units]', 'metric')
    await page.waitForFunction(() =>
      [...document.querySelectorAll('th')].some((cell) => /delivered\s*L$/.test(cell.innerText)),
    )
    const litres = Number((await page.locator('td.number').nth(1).innerText()).replaceAll(',', ''))
    // NIST Handbook 44, Appendix C: 1 US gallon is 3.785411784 L.
    expect(Math.abs(litres - gallons * 3.785411784)).toBeLessThanOrEqual(3)
    await page.selectOption('select[name=zone]', 'America/Boise')
    await page.waitForFunction(() =>
      [...document.querySelectorAll('th')].some((cell) => cell.innerText.includes('America/Boise')),
    )
    expect(page.url()).toContain('units=metric')
    expect(page.url()).toContain('zone=America%2FBoise')
  })

  test('a number opens to its lines by keyboard alone, and Escape leads back to it', async () => {
    await visit('', 'records')
    const link = page.locator(`a[href*="evidence=drop"]`).first()
    await link.focus()
    await page.keyboard.press('Enter')
    await page.locator('.observation').first().waitFor()
    expect(page.url()).toContain('evidence=drop')
    expect(await page.locator('pre.raw').first().innerText()).toContain('Lost Spur')
    expect(await page.evaluate(() => document.activeElement?.closest('dialog') !== null)).toBe(true)
    for (let step = 0; step < 40; step++) {
      await page.keyboard.press('Tab')
      expect(
        await page.evaluate(
          () =>
            document.activeElement === document.body || document.activeElement?.closest('dialog') !== null,
        ),
      ).toBe(true)
    }
    expect(await violations(page)).toEqual([])
    await page.keyboard.press('Escape')
    await page.waitForFunction(() => !location.search.includes('evidence'))
    expect(await page.evaluate(() => document.activeElement?.getAttribute('href') ?? '')).toContain(
      'evidence=drop',
    )
  })

  test('evidence that is not there says so', async () => {
    await page.goto(at('?evidence=drop:nothing', 'records'))
    await page.locator('dialog .failed').waitFor()
    expect(await page.locator('dialog .failed').innerText()).toContain('No such record')
  })

  test('a field is amended from its evidence, with reason and name', async () => {
    fixture.amendments.length = 0
    await page.goto(at(`?evidence=drop:${someDrop}`, 'records'))
    await page.locator('.amend summary').first().click()
    const form = page.locator('.amend form').first()
    await form.locator('select[name=field]').selectOption('volume_gal')
    await form.locator('input[name=value]').fill('1050')
    await form.getByRole('button').click()
    expect(fixture.amendments).toEqual([])
    await form.locator('input[name=reason]').fill('Ticket misread')
    await form.locator('input[name=by]').fill('R. Planner')
    await form.getByRole('button').click()
    await page.waitForFunction(
      () =>
        document.querySelector('.amend .message')?.textContent === 'Recorded.' ||
        !document.querySelector('.amend details[open]'),
    )
    expect(fixture.amendments).toEqual([
      {
        action: 'set-field',
        payload: { obs_no: 1, kind: 'drop', field: 'volume_gal', value: '1050' },
        reason: 'Ticket misread',
        by: 'R. Planner',
      },
    ])
  })

  test('a record is left out, merged and split from its evidence', async () => {
    fixture.amendments.length = 0
    const place = drops.findIndex((row, at) => drops[at + 1]?.flight === row.flight)
    const [one, other] = [String(drops[place]!.drop), String(drops[place + 1]!.drop)]
    for (const [title, act] of [
      ['Leave it out', async () => undefined],
      [
        'Merge',
        async () => {
          const near = page.locator('select[name=near]')
          expect(await page.getByLabel('The name of the other drop').isVisible()).toBe(false)
          await near.selectOption('by name')
          await page.getByLabel('The name of the other drop').waitFor()
          await near.selectOption(other)
        },
      ],
      ['Split', async () => page.locator('input[name=apart]').first().check()],
    ] as const) {
      await page.goto('about:blank')
      await page.goto(at(`?evidence=drop:${one}`, 'records'))
      const part = page.locator('.amend details', { hasText: title }).first()
      await part.locator('summary').click()
      await act()
      await part.locator('input[name=reason]').fill('Checked with the crew')
      await part.locator('input[name=by]').fill('R. Planner')
      const before = fixture.amendments.length
      await part.locator('button[type=submit]').click()
      await expect.poll(() => fixture.amendments.length).toBe(before + 1)
    }
    expect(fixture.amendments.map(({ action, payload }) => [action, payload.obs])).toEqual([
      ['exclude', [1, 2]],
      ['merge', [1, 2, 1, 2]],
      ['split', [[2], [1]]],
    ])
  })

  test('an amendment is taken back from the evidence that shows it', async () => {
    fixture.amendments.length = 0
    await page.goto('about:blank')
    await page.goto(at(`?evidence=drop:${someDrop}`, 'records'))
    expect(await page.locator('.amendments li').innerText()).toContain(
      'drop: volume is 1050 gal by R. Planner',
    )
    await page.locator('dialog.panel').getByRole('button', { name: 'Undo amendment 1' }).click()
    const form = page.locator('dialog.small form')
    await form.locator('input[name=reason]').fill('The ticket was right')
    await form.locator('input[name=by]').fill('R. Planner')
    expect(await violations(page)).toEqual([])
    await form.getByRole('button', { name: 'Undo it' }).click()
    await expect.poll(() => fixture.amendments.length).toBe(1)
    expect(fixture.amendments[0]).toMatchObject({ action: 'undo', payload: { amendment_no: 1 } })
    await page.locator('dialog.small .outcome p').first().waitFor()
    await page.keyboard.press('Enter')
    await page.waitForFunction(() => !document.querySelector('dialog.small'))
    expect(await page.locator('dialog.panel[open]').count()).toBe(1)
  })

  test('a finding is accepted, and an invoice line noted', async () => {
    fixture.amendments.length = 0
    await visit('', 'records')
    await page
      .getByRole('button', { name: /^Decide on/ })
      .first()
      .click()
    expect(await violations(page)).toEqual([])
    await page.locator('dialog input[name=reason]').fill('Known since spring')
    await page.locator('dialog input[name=by]').fill('R. Planner')
    await page.getByRole('button', { name: 'Record the decision' }).click()
    await expect.poll(() => fixture.amendments.length).toBe(1)
    await visit('', 'invoices')
    await page
      .getByRole('button', { name: /^Note on invoice/ })
      .first()
      .click()
    await page.locator('dialog select').selectOption('disputed')
    await page.locator('dialog input[name=reason]').fill('Billed twice')
    await page.getByRole('button', { name: 'Record the note' }).click()
    await expect.poll(() => fixture.amendments.length).toBe(2)
    expect(fixture.amendments.map(({ action }) => action)).toEqual(['finding-state', 'invoice-note'])
    expect(fixture.amendments[1]).toMatchObject({
      payload: { contract: 'C-9', state: 'disputed' },
      by: 'R. Planner',
    })
  })

  test('files are brought in: each row has its fate, a file that cannot be read says why, and the pages fill', async () => {
    fixture.isEmpty = true
    await visit('', 'season')
    expect(await page.locator('.first-run h1').innerText()).toBe('The book is still blank')
    expect(await violations(page)).toEqual([])
    const file = (name: string) => ({
      name,
      mimeType: 'text/csv',
      buffer: Buffer.from('dropped_at,aircraft\n'),
    })
    await page.setInputFiles('input[type=file]', [
      file('drop-sheet-with-accents-of-the-second-half-of-july-2026.csv'),
      file('broken.csv'),
    ])
    await page.waitForSelector('.plate h1')
    const log = page.locator('.intake')
    await log.getByText('rows are new').waitFor()
    expect(await log.innerText()).toContain('Its headers match no profile.')
    expect(await log.locator('tbody tr').first().innerText()).toMatch(/july-2026\.csv.*12\s+9\s+2\s+0\s+1/s)
    expect(await log.locator('tbody tr').nth(1).innerText()).toBe('the bytes are not utf-8')
    const isAllInSight = (part: Element): boolean => part.scrollWidth <= part.clientWidth
    expect(await log.locator('.scroll').evaluate(isAllInSight)).toBe(true)
    const outcome = log.getByRole('status')
    expect(await outcome.innerText()).toMatch(
      /^9 rows are new\..*1 file could not be read.*1 row could not be read and stands in no figure/,
    )
    await settled(page)
    expect(await violations(page)).toEqual([])
    await outcome.getByRole('link').click()
    await page.locator('h1', { hasText: 'Records & findings' }).waitFor()
    fixture.isEmpty = false
  })

  test('profiles go before the files that come with them, and what is wrong with one is said', async () => {
    fixture.ingested.length = 0
    await visit('', 'season')
    const file = (name: string, text: string) => ({ name, mimeType: 'text/plain', buffer: Buffer.from(text) })
    await page.setInputFiles('input[type=file]', [file('drop.csv', 'a\n'), file('sheet.json', '{}')])
    const log = page.locator('.intake')
    await log.getByText('rows are new').waitFor()
    expect(fixture.ingested).toEqual(['sheet.json', 'drop.csv'])
    expect(await log.innerText()).toContain('The profile sheet is kept')
    expect(await log.innerText()).toContain('headers is missing')
    await settled(page)
    expect(await violations(page)).toEqual([])
  })

  test('a file dropped anywhere on the page is brought in', async () => {
    fixture.ingested.length = 0
    await visit('', 'season')
    const transfer = await page.evaluateHandle(() => {
      const data = new DataTransfer()
      data.items.add(new File(['a,b\n'], 'load.csv', { type: 'text/csv' }))
      return data
    })
    await page.dispatchEvent('main', 'drop', { dataTransfer: transfer })
    await expect.poll(() => fixture.ingested).toEqual(['load.csv'])
  })

  test('the page follows the warehouse', async () => {
    await visit('', 'season')
    const before = await page.locator('#imprint code').innerText()
    fixture.change()
    await page.waitForFunction((old) => document.querySelector('#imprint code')?.textContent !== old, before)
  })

  test('news does not take away what is being written in the evidence; it is drawn again when asked, or once sent', async () => {
    fixture.amendments.length = 0
    await page.goto('about:blank')
    await page.goto(at(`?evidence=drop:${someDrop}`, 'records'))
    const part = page.locator('.amend details', { hasText: 'Leave it out' }).first()
    await part.locator('summary').click()
    const reason = part.locator('input[name=reason]')
    await reason.fill('The crew says it')
    const news = page.locator('dialog [role=status]', { hasText: 'The records have changed' })
    fixture.change()
    await news.waitFor()
    expect(await reason.inputValue()).toBe('The crew says it')
    expect(await violations(page)).toEqual([])
    await news.getByRole('button').click()
    await news.waitFor({ state: 'detached' })
    await page.locator('.amend details[open]').waitFor({ state: 'detached' })
    await part.locator('summary').click()
    await reason.fill('The crew says it')
    await part.locator('input[name=by]').fill('R. Planner')
    await part.locator('button[type=submit]').click()
    await page.locator('.amend details[open]').waitFor({ state: 'detached' })
    expect(fixture.amendments.length).toBe(1)
    expect(await news.count()).toBe(0)
  })

  test('a question that fails or is not on record leaves the others standing', async () => {
    fixture.hide.add('turnarounds')
    fixture.broken.add('meter-bias')
    await page.goto(at('', 'bases'))
    await page.locator('.failed').waitFor()
    expect((await page.locator('.missing').allInnerTexts()).join('\n')).toContain('turnarounds')
    expect(await page.locator('.failed').innerText()).toContain('The question took too long.')
    expect(await page.locator('[data-chart="base-hour-load"] svg').count()).toBe(1)
    expect(await violations(page)).toEqual([])
    fixture.broken.clear()
    fixture.hide.clear()
    await page.getByRole('button', { name: 'Try again' }).click()
    await page.locator('[data-chart="meter-bias"] svg').waitFor()
  })

  test('the keyboard reaches the page, the index and a chart’s table', async () => {
    await visit('', 'season')
    await page.locator('body').press('Tab')
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Skip to the page')
    await page.keyboard.press('Enter')
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('main')
    const toggle = page.locator('[data-chart="season-calendar"]').getByRole('button', { name: 'Table' })
    await toggle.focus()
    await page.keyboard.press('Enter')
    expect(await toggle.getAttribute('aria-expanded')).toBe('true')
    expect(await page.locator('[data-chart="season-calendar"] tbody tr').count()).toBeGreaterThan(20)
    await page.locator('#index a', { hasText: 'Invoices' }).focus()
    await page.keyboard.press('Enter')
    await page.waitForFunction(() => document.querySelector('main h1')?.textContent === 'Invoices')
    expect(await page.evaluate(() => document.activeElement?.tagName)).toBe('H1')
  })

  test('a chart hands itself over as CSV, SVG and PNG', async () => {
    await visit('', 'season')
    const chart = page.locator('[data-chart="season-calendar"]')
    const saved = async (kind: string): Promise<Buffer> => {
      const [download] = await Promise.all([
        page.waitForEvent('download'),
        chart.getByRole('button', { name: kind }).click(),
      ])
      expect(download.suggestedFilename()).toBe(`season-calendar.${kind.toLowerCase()}`)
      return readFile((await download.path())!)
    }
    expect((await saved('CSV')).toString()).toMatch(/^day,drops,gallons,airborne_hours\r\n2026-/)
    const svg = (await saved('SVG')).toString()
    expect(svg).toContain('<svg')
    expect(svg).not.toContain('var(')
    expect(svg).not.toContain('href')
    expect((await saved('PNG')).subarray(1, 4).toString()).toBe('PNG')
  })

  test('on paper stand the answers, not the controls', async () => {
    await visit('?fire=F-1', 'fires')
    await page.emulateMedia({ media: 'print' })
    for (const part of ['#index', '#bring', '.tools', '.filters .fields'])
      expect(await page.locator(part).first().isVisible()).toBe(false)
    expect(await page.locator('.filters summary').innerText()).toBe('Filters: fire F-1')
    expect(await page.locator('[data-chart="gallons-by-fire"] svg').isVisible()).toBe(true)
    const pdf = await page.pdf({ format: 'Letter' })
    expect(pdf.length).toBeGreaterThan(20_000)
  })

  test('nothing is fetched from anywhere else', async () => {
    const elsewhere: string[] = []
    page.on('request', (request) => {
      const { protocol, origin } = new URL(request.url())
      if (!['data:', 'blob:'].includes(protocol) && origin !== new URL(fixture.url).origin)
        elsewhere.push(request.url())
    })
    await visit('', 'season')
    expect(elsewhere).toEqual([])
  })
})
