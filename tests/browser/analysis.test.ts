import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { type Opened, open, settled, violations } from './audit.ts'
import { launch } from './browser.ts'
import { type Served, startSample } from './served.ts'

/** What the pages say of the sample season, against what the warehouse answers. */
const browser: Browser | null = await launch()
let served: Served
let queries: string
let opened: Opened
let page: Page

const ownQuestion = `-- title: Fires with many drops
-- grain: one row per fire
-- params: aircraft, least
-- columns:
--   fire     fire number
--   drops    fire drops
--   per_day  fire drops by days with any
-- note: Only fires with at least as many drops as asked for.
SELECT fire, count(*)::INTEGER AS drops, count(*) / count(DISTINCT operating_day) AS per_day FROM answers."drop"
WHERE purpose = 'fire' AND fire IS NOT NULL AND ($aircraft IS NULL OR aircraft = $aircraft)
GROUP BY fire HAVING count(*) >= coalesce($least::INTEGER, 1) ORDER BY drops DESC, fire
`

beforeAll(async () => {
  if (!browser) return
  queries = mkdtempSync(join(tmpdir(), 'questions-'))
  writeFileSync(join(queries, 'many-drops.sql'), ownQuestion)
  served = await startSample(['--queries', queries])
}, 300_000)
afterAll(async () => {
  await browser?.close()
  await served?.close()
  if (queries) rmSync(queries, { recursive: true, force: true })
})
beforeEach(async () => {
  await opened?.close()
  if (!browser) return
  opened = await open(browser)
  page = opened.page
})

const visit = async (name: string, search = ''): Promise<void> => {
  await page.goto('about:blank')
  await page.goto(`${served.url}/${search}#/${name}`)
  await settled(page)
}
const rowsOf = async (query: string): Promise<Record<string, string | number | null>[]> =>
  (await fetch(`${served.url}/api/queries/${query}`)).json() as never
const title = (chart: string): Promise<string> =>
  page.locator(`[data-chart="${chart}"] h3`).first().innerText()
const section = (question: string) => page.locator('section.question', { hasText: question })
const numberIn = (text: string): number => Number(text.replaceAll(',', ''))

describe.skipIf(!browser)('analysis in the browser', { timeout: 240_000 }, () => {
  test.each(['season', 'fires', 'bases', 'aircraft', 'effectiveness', 'releases'])(
    'every chart of %s has its finding, its units, its words, its table and its files',
    async (name) => {
      await visit(name)
      const charts = await page.locator('figure.chart').all()
      expect(charts.length).toBeGreaterThan(0)
      for (const chart of charts) {
        const kind = await chart.getAttribute('data-chart')
        const finding = await chart.locator('h3').innerText()
        expect(finding.split(' ').length, `${kind}: ${finding}`).toBeGreaterThan(3)
        expect(await chart.locator('.units').innerText(), kind ?? '').toMatch(
          /percent|gal|chains|minutes|count|points|seconds|hour/,
        )
        expect(
          (await chart.locator('.ground svg').getAttribute('aria-label'))?.length,
          kind ?? '',
        ).toBeGreaterThan(25)
        await chart.getByRole('button', { name: 'Table' }).click()
        expect(await chart.locator('.chart-table tbody tr').count(), kind ?? '').toBeGreaterThan(0)
        for (const file of ['CSV', 'SVG', 'PNG'])
          expect(await chart.getByRole('button', { name: `${file} of` }).count(), `${kind} ${file}`).toBe(1)
      }
      expect(opened.complaints).toEqual([])
    },
  )

  test('figures stand as the warehouse gives them', async () => {
    await visit('season')
    const fires = await rowsOf('gallons-by-fire')
    const gallons = fires.reduce((sum, row) => sum + Number(row.gallons), 0)
    expect(numberIn(await page.locator('.ledger b').first().innerText())).toBe(Math.round(gallons))
    await visit('effectiveness')
    const outcomes = await rowsOf('outcome-rates?by=objective')
    const assessed = outcomes.reduce((sum, row) => sum + Number(row.assessed), 0)
    expect(await page.locator('.lead').first().innerText()).toContain(`${assessed} drops were assessed`)
    const cost = await rowsOf('delivery-cost')
    const table = section('What did a delivered gallon').locator('tbody tr')
    expect(await table.count()).toBe(cost.length)
    expect(await table.first().innerText()).toContain(String(cost[0]!.cost_per_gallon))
    expect(await section('Was it better than another season').innerText()).toContain(
      'Only one season is on record',
    )
    expect(await section('published height').locator('.caution').innerText()).toContain('local rules')
  })

  test('line is gathered by what the reader chooses', async () => {
    await visit('fires')
    const chains = (rows: Record<string, string | number | null>[]): string =>
      Math.round(rows.reduce((sum, row) => sum + Number(row.bound_chains ?? 0), 0)).toLocaleString('en-US')
    expect(await title('line-built')).toContain(`${chains(await rowsOf('line-built'))}\u00a0chains`)
    await section('How much line').locator('select').selectOption('hour')
    const hours = await rowsOf('line-built?by=hour')
    await page.waitForFunction(() =>
      document.querySelector('[data-chart="line-built"] svg')?.textContent?.includes('15'),
    )
    expect(await title('line-built')).toContain(`${chains(hours)}\u00a0chains`)
    await page.locator('[data-chart="line-built"]').getByRole('button', { name: 'Table' }).click()
    expect(await page.locator('[data-chart="line-built"] tbody tr').count()).toBe(hours.length)
  })

  test('a nearer base and a faster fill are asked for by keyboard alone', async () => {
    await visit('bases')
    const [base] = await rowsOf('productivity')
    const gallons = (nearer: number, faster: number): string =>
      Math.round(
        (60 * Number(base!.gallons_per_turnaround)) /
          (Number(base!.fixed_min) -
            Math.min(faster, Number(base!.fill_min)) +
            (120 / Number(base!.speed_kt)) * (Number(base!.distance_nm) - nearer)),
      ).toLocaleString('en-US')
    expect(await title('productivity-curve')).toContain(`would give ${gallons(10, 5)}\u00a0gal/h`)
    // The warehouse says the same of 10 NM.
    expect(Number(base!.nearer_gallons_per_hour).toFixed(0)).toBe(gallons(10, 0).replace(',', ''))
    await page.locator('input[name=choice-nearer]').focus()
    await page.keyboard.press('Control+A')
    await page.keyboard.type('25')
    await page.keyboard.press('Tab')
    await page.keyboard.type('0')
    await expect
      .poll(() => title('productivity-curve'))
      .toContain(`25\u00a0NM nearer would give ${gallons(25, 0)}\u00a0gal/h`)
    await page.locator('input[name=choice-nearer]').fill('0')
    await expect.poll(() => title('productivity-curve')).not.toContain('would give')
    expect(await violations(page)).toEqual([])
  })

  test('two groups of outcomes are compared as the reader chooses', async () => {
    await visit('effectiveness')
    const part = section('Did one group of drops')
    await part.locator('select[name=choice-by]').selectOption('class')
    await expect.poll(() => part.locator('select[name=choice-one] option').count()).toBe(5)
    await part.locator('select[name=choice-one]').selectOption('large')
    await part.locator('select[name=choice-other]').selectOption('medium')
    const [, row] = await rowsOf('outcome-comparison?by=class&one=large&other=medium')
    const points = Math.round(100 * Number(row!.difference))
    await expect.poll(() => title('outcome-success-differences')).toContain(`${points} points`)
    expect(await title('outcome-success-differences')).toContain('medium')
    await part.locator('select[name=choice-other]').selectOption('large')
    await expect.poll(() => part.innerText()).toContain('Choose two groups that differ.')
    expect(opened.complaints).toEqual([])
  })

  test('the tank that was adjusted shows what changed, chart, verdict and traces', async () => {
    await visit('releases')
    const [effect] = await rowsOf('adjustment-effect')
    expect(await section('Did the adjustment help').locator('.lead').innerText()).toContain(
      String(effect!.verdict),
    )
    const drift = section('Which tank drifts')
    const summary = await rowsOf('control-summary')
    const watched = summary.reduce((sum, row) => sum + Number(row.watched), 0)
    expect(await drift.locator('.lead').innerText()).toContain(`over ${watched} drops watched`)
    expect(await drift.locator('figure.chart').count()).toBe(4)
    await drift.locator('select').selectOption(String(effect!.tank))
    await expect.poll(() => drift.locator('figure.chart').count()).toBe(1)
    expect(await drift.locator('.ground svg').textContent()).toContain('adjusted')
    const traces = section('How do the releases run out')
    expect(await traces.locator('h3').innerText()).toMatch(
      new RegExp(`^${effect!.tank}: half were out within .* in run 1 .* in run 2`),
    )
    expect(await violations(page)).toEqual([])
    expect(opened.complaints).toEqual([])
  })

  test('selecting in one chart narrows the others, and all say so in the address', async () => {
    await visit('bases')
    const before = await title('turnaround-parts')
    await page.locator('[data-chart="base-hour-load"] svg a').first().focus()
    await page.keyboard.press('Enter')
    await page.waitForFunction(() => location.search.includes('base='))
    await settled(page)
    expect(await title('turnaround-parts')).not.toBe(before)
    expect(await page.locator('select[name=base]').inputValue()).toMatch(/^[A-Z]{3}$/)
  })

  test('a question of one’s own has a page made from its comment', async () => {
    await visit('season')
    await page.locator('#index a', { hasText: 'Fires with many drops' }).click()
    await page.waitForFunction(
      () => document.querySelector('main h1')?.textContent === 'Fires with many drops',
    )
    await settled(page)
    expect(page.url()).toContain('#/query/many-drops')
    const every = await rowsOf('many-drops')
    expect(await page.locator('tbody').first().locator('tr').count()).toBe(Math.min(25, every.length))
    expect(await section('One row per fire').locator('th').first().innerText()).toBe('fire')
    expect(await page.locator('main').innerText()).toContain('fire drops by days with any')
    expect(await page.locator('main').innerText()).toContain(
      'Only fires with at least as many drops as asked for.',
    )
    await page.locator('input[name=least]').fill('35')
    await page.keyboard.press('Enter')
    const many = every.filter((row) => Number(row.drops) >= 35).length
    await expect.poll(() => page.locator('tbody').first().locator('tr').count()).toBe(many)
    expect(await page.getByRole('link', { name: 'CSV of all' }).getAttribute('href')).toContain('least=35')
    await page.locator('input[name=least]').fill('many')
    await page.keyboard.press('Enter')
    await expect.poll(() => page.locator('main [role=status]').innerText()).not.toBe('')
    expect(await violations(page)).toEqual([])
    // A filter of the page narrows it where it takes it.
    await visit('query/many-drops', '?aircraft=N802ZY')
    const own = await rowsOf('many-drops?aircraft=N802ZY')
    expect(await page.locator('tbody').first().locator('tr').count()).toBe(Math.min(25, own.length))
    expect(await page.locator('#index a[aria-current]').innerText()).toContain('Fires with many drops')
  })

  test('the first page asks for all its scripts at once, and they are small', async () => {
    const scripts = new Map<string, number>()
    page.on('response', async (response) => {
      const { pathname } = new URL(response.url())
      if (pathname.endsWith('.js')) scripts.set(pathname.slice(1), gzipSync(await response.body()).length)
    })
    await visit('season')
    const document = await (await fetch(served.url)).text()
    const late = [...scripts.keys()].filter((name) => !document.includes(`"${name}"`))
    // The outlines of the map come with the map.
    expect(late.filter((name) => !name.startsWith('outlines'))).toEqual([])
    expect([...scripts.values()].reduce((sum, bytes) => sum + bytes, 0)).toBeLessThan(300_000)
    const { headers } = await fetch(`${served.url}/main.js`, { headers: { 'Accept-Encoding': 'gzip' } })
    expect(headers.get('Content-Encoding')).toBe('gzip')
  })

  test('what was answered once is not computed again, and arrives packed', async () => {
    const url = `${served.url}/api/queries/gallons-by-fire`
    const headers = { Accept: 'application/vnd.apache.arrow.stream', 'Accept-Encoding': 'gzip' }
    const [first, again] = [await fetch(url, { headers }), await fetch(url, { headers })]
    expect(again.headers.get('ETag')).toBe(first.headers.get('ETag'))
    expect(Buffer.from(await again.arrayBuffer()).equals(Buffer.from(await first.arrayBuffer()))).toBe(true)
    expect(again.headers.get('Content-Encoding')).toBe('gzip')
  })
})
