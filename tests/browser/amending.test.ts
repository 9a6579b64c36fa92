import type { Browser, Locator, Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { buildPages } from '../dashboards/build-pages.ts'
import { type Fixture, startFixture } from '../dashboards/fixture-server.ts'
import { drops } from '../dashboards/invented-season.ts'
import { type Opened, open, settled, violations } from './audit.ts'
import { launch } from './browser.ts'

/** What a person who puts records right is told, and what of their writing stays, on invented answers. */
const browser: Browser | null = await launch()
let fixture: Fixture
let opened: Opened
let page: Page

const someDrop = String(drops[3]!.drop)
const visit = async (search: string, name: string): Promise<void> => {
  await page.goto('about:blank')
  await page.goto(`${fixture.url}/${search}#/${name}`)
  await settled(page)
}
const question = (words: string): Locator => page.locator('main section', { hasText: words })
const leaveOut = async (): Promise<Locator> => {
  const part = page.locator('.amend details', { hasText: 'Leave it out' }).first()
  await part.locator('summary').click()
  return part
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
  opened = await open(browser)
  page = opened.page
})

describe.skipIf(!browser)('putting records right', { timeout: 120_000 }, () => {
  test('the head of the evidence says what came of an amendment, until another record is opened', async () => {
    await visit(`?evidence=drop:${someDrop}`, 'records')
    const part = await leaveOut()
    await part.locator('input[name=reason]').fill('Bench test')
    await part.locator('input[name=by]').fill('R. Planner')
    await part.locator('button[type=submit]').click()
    const told = page.locator('dialog.panel .told')
    await told.waitFor()
    expect(await told.innerText()).toMatch(/^Recorded as amendment \d+\./)
    expect(await violations(page)).toEqual([])
    await page.locator('dialog.panel .related a').first().click()
    await told.waitFor({ state: 'detached' })
  })

  test('a record that is left out says so first, and offers nothing that would not show', async () => {
    fixture.leftOut.add(someDrop)
    await visit(`?evidence=drop:${someDrop}`, 'records')
    expect(await page.locator('dialog.panel .panel-body > .caution').innerText()).toContain(
      'Left out of the account',
    )
    expect(await page.locator('dialog.panel .amend').count()).toBe(0)
    fixture.leftOut.clear()
    await visit(`?evidence=drop:${someDrop}`, 'records')
    expect(await page.locator('dialog.panel .caution').count()).toBe(0)
    expect(await page.locator('dialog.panel').innerText()).toContain('Not so: excluded')
  })

  test('an amendment leads to its lines, and so to a record that no list shows any more', async () => {
    await visit('', 'records')
    const link = question('What has been amended').getByRole('link', { name: 'file 3 line 41' })
    expect(await link.getAttribute('href')).toContain(`evidence=obs%3A${3 * 2 ** 32 + 41 * 16}`)
    expect(await question('What has been amended').innerText()).toContain('a drop is left out (1 line)')
  })

  test('a line that was read opens under the headers of its file', async () => {
    await visit(`?evidence=drop:${someDrop}`, 'records')
    const line = page.locator('dialog.panel .observation').first()
    await line.locator('summary', { hasText: 'Column by column' }).click()
    expect(await line.locator('dl').innerText()).toMatch(/Date\s+07\/04\/2026\s+Gals\s+1000/)
  })

  test('a clock that was off leads to the records of that aircraft and day', async () => {
    await visit('', 'records')
    await question('Whose clock was off').getByRole('link', { name: '2026-07-14' }).click()
    await page.waitForURL(/from=2026-07-14&to=2026-07-14&aircraft=N802ZY/)
  })

  test('where days hide what was amended, it is not said that nothing was', async () => {
    await visit('?to=2026-07-10', 'records')
    const text = await question('What has been amended').innerText()
    expect(text).toContain('No amendment was made on these days')
    expect(text).not.toContain('Nothing has been amended')
  })

  test('what was written and not sent is there again when the record is opened again, and not once it is sent', async () => {
    await visit('', 'records')
    const link = page.locator(`main a[href*="evidence=drop"]`).first()
    await link.click()
    const part = await leaveOut()
    const reason = part.locator('input[name=reason]')
    await reason.fill('The crew says it')
    await page.goBack()
    await page.locator('dialog.panel').waitFor({ state: 'hidden' })
    await page.goForward()
    await reason.waitFor()
    expect(await reason.inputValue()).toBe('The crew says it')
    await part.locator('input[name=by]').fill('R. Planner')
    await part.locator('button[type=submit]').click()
    await page.locator('dialog.panel .told').waitFor()
    await page.keyboard.press('Escape')
    await link.click()
    await page.locator('dialog.panel .amend').waitFor()
    expect(await page.locator('.amend details[open]').count()).toBe(0)
  })

  test('where an amendment took away the link that opened the evidence, the focus goes to the heading', async () => {
    await visit('', 'records')
    const link = page.locator('main a[href*="evidence=drop"]').first()
    await link.focus()
    await page.keyboard.press('Enter')
    await page.locator('dialog.panel .amend').waitFor()
    await page.evaluate(() => {
      for (const one of document.querySelectorAll('main a[href*="evidence=drop"]')) one.remove()
    })
    await page.keyboard.press('Escape')
    await page.locator('main h1:focus').waitFor()
  })

  test('a refusal says what is wrong with what was written, and nothing else', async () => {
    await visit(`?evidence=drop:${someDrop}`, 'records')
    const part = page.locator('.amend details', { hasText: 'Set a field' }).first()
    await part.locator('summary').click()
    await part.locator('input[name=value]').fill('abc')
    await part.locator('input[name=reason]').fill('Ticket misread')
    await part.locator('input[name=by]').fill('R. Planner')
    await part.locator('button[type=submit]').click()
    await part.locator('.message', { hasText: 'write a number' }).waitFor()
    expect(await part.locator('.message').innerText()).toBe('write a number from 0 to 100000')
    expect(await part.locator('input[name=value]').inputValue()).toBe('abc')
  })

  test('a reason that is too long is not cut off unseen', async () => {
    fixture.amendments.length = 0
    await visit(`?evidence=drop:${someDrop}`, 'records')
    const part = await leaveOut()
    const long = 'It was so. '.repeat(300).trim()
    await part.locator('input[name=reason]').fill(long)
    await part.locator('input[name=by]').fill('R. Planner')
    await part.locator('button[type=submit]').click()
    expect(await part.locator('.message').innerText()).toBe('The reason has 3,299 letters; 2,000 fit.')
    expect(await part.locator('input[name=reason]').inputValue()).toBe(long)
    expect(fixture.amendments).toEqual([])
  })

  test('nobody is taken to mean the first of a list: who it is, and what was agreed, are chosen', async () => {
    await visit('', 'records')
    await page.getByRole('button', { name: 'Give another name' }).click()
    await page.locator('dialog select[name=kind]:focus').waitFor()
    const target = page.locator('dialog select[name=target]')
    expect(await target.locator('option').count()).toBeGreaterThan(2)
    expect(await target.inputValue()).toBe('')
    await visit('?evidence=invoice-line:C-9/INV-1/2', 'invoices')
    await page.locator('dialog.panel').getByRole('button', { name: 'Note on invoice INV-1 line 2' }).click()
    expect(await page.locator('dialog select[name=state]').inputValue()).toBe('')
  })
})
