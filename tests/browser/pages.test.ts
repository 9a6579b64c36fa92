import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type Opened, open, settled, violations } from './audit.ts'
import { launch } from './browser.ts'
import { type Served, startSample } from './served.ts'

const names = [
  ...['season', 'fires', 'bases', 'aircraft', 'tanks', 'invoices', 'effectiveness', 'releases', 'records'],
]
const views = [
  { width: 1280, colorScheme: 'light' },
  { width: 768, colorScheme: 'dark' },
  { width: 390, colorScheme: 'light' },
] as const

const browser: Browser | null = await launch()
let served: Served

beforeAll(async () => {
  if (browser) served = await startSample()
}, 300_000)
afterAll(async () => {
  await browser?.close()
  await served?.close()
})

describe.skipIf(!browser).each(views)('at $width px, $colorScheme', ({ width, colorScheme }) => {
  let opened: Opened
  beforeAll(async () => {
    opened = await open(browser!, { viewport: { width, height: 900 }, colorScheme })
  })
  afterAll(() => opened?.close())

  test.each(names)('%s stands without complaint, overflow or barrier', { timeout: 120_000 }, async (name) => {
    const { page, complaints } = opened
    await page.goto(`${served.url}/?zone=America/Boise#/${name}`)
    await settled(page)
    expect(await page.locator('main h1').count()).toBe(1)
    expect(await page.locator('.question').count()).toBeGreaterThanOrEqual(5)
    expect(await page.locator('main .failed').allInnerTexts()).toEqual([])
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(
      0,
    )
    expect(await violations(page)).toEqual([])
    expect(complaints).toEqual([])
  })
})
