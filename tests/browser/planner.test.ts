import { execFileSync } from 'node:child_process'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type Opened, open, settled, violations } from './audit.ts'
import { launch } from './browser.ts'
import { type Served, startSample } from './served.ts'

/** What the maintenance planner, the conversion supervisor and the keeper of the records do, on the sample season. */
const browser: Browser | null = await launch()
let served: Served

const planned = 'per_day=9&done=DH@DR-1016@2026-10-20'
const pages = [
  ['tanks', ''],
  ['tank', ''],
  ['tank', 'tank=TX-101'],
  ['what-if', 'tank=TX-101'],
  ['what-if', `tank=TX-101&${planned}`],
  ['work-list', 'tank=TX-101'],
  ['conversion', 'tank=TX-101'],
  ['records', ''],
] as const
const views = [
  { width: 1280, colorScheme: 'light' },
  { width: 768, colorScheme: 'dark' },
  { width: 390, colorScheme: 'light' },
] as const

beforeAll(async () => {
  if (browser) served = await startSample()
}, 300_000)
afterAll(async () => {
  await browser?.close()
  await served?.close()
})

/** An amendment brings the whole season up to date, and the machine may have other things to do. */
const patienceMs = 150_000

const isSample = (): boolean => served?.warehouse !== null
const visit = async (page: Page, name: string, search = ''): Promise<void> => {
  await page.goto('about:blank')
  await page.goto(`${served.url}/?${search}#/${name}`)
  await settled(page)
  await caughtUp(page)
}
/** Waits until the page shows what the warehouse holds: news of a change draws it again. */
const caughtUp = async (page: Page): Promise<void> => {
  const { fingerprint } = (await (await fetch(`${served.url}/api/status`)).json()) as { fingerprint: string }
  await page.waitForFunction(
    (start) => document.querySelector('#imprint code')?.textContent === start,
    fingerprint.slice(0, 12),
  )
  await settled(page)
}
const rowsOf = async (question: string): Promise<Record<string, unknown>[]> => {
  const response = await fetch(`${served.url}/api/queries/${question}`)
  expect(response.status).toBe(200)
  return (await response.json()) as Record<string, unknown>[]
}

describe.skipIf(!browser).each(views)('at $width px, $colorScheme', ({ width, colorScheme }) => {
  let opened: Opened
  beforeAll(async () => {
    opened = await open(browser!, { viewport: { width, height: 900 }, colorScheme })
    opened.page.setDefaultTimeout(patienceMs)
  })
  afterAll(() => opened?.close())

  test.each(pages)(
    '%s?%s stands without complaint, overflow or barrier',
    { timeout: 240_000 },
    async (...one) => {
      const [name, search] = one
      const { page, complaints } = opened
      await visit(page, name, search)
      expect(await page.locator('main .failed').allInnerTexts()).toEqual([])
      expect(
        await page.evaluate(() => document.documentElement.scrollWidth - innerWidth),
      ).toBeLessThanOrEqual(0)
      if (name !== 'records')
        expect(await page.locator('.lead-in .caution').innerText()).toContain('licensed staff decide')
      expect(await violations(page)).toEqual([])
      expect(complaints).toEqual([])
    },
  )
})

describe.skipIf(!browser)('the planner', { timeout: 240_000 }, () => {
  let opened: Opened
  let page: Page
  beforeAll(async () => {
    opened = await open(browser!, { acceptDownloads: true })
    page = opened.page
    page.setDefaultTimeout(patienceMs)
  })
  afterAll(() => opened?.close())

  test('a season that is over stands on its last day on record; another day goes into the address', async () => {
    if (!isSample()) return
    const { last_days } = (await (await fetch(`${served.url}/api/status`)).json()) as {
      last_days: Record<string, string>
    }
    const last = last_days['2026']!
    await visit(page, 'tanks')
    expect(await page.locator('.standing').innerText()).toContain('the last day on record')
    expect(await page.locator('#standing-day').inputValue()).toBe(last)
    const overdue = (await rowsOf(`inspections-due?as_of=${last}`)).filter(
      (row) => row.governs && row.status === 'overdue',
    ).length
    expect(await page.locator('[data-chart="due-windows"] h3').innerText()).toMatch(
      new RegExp(`^${overdue} inspections? overdue`),
    )
    await page.locator('#standing-day').fill('2026-08-01')
    await page.waitForURL(/as_of=2026-08-01/)
    await settled(page)
    const there = await page.locator('[data-chart="due-windows"] h3').innerText()
    const link = page.url()
    await page.goto('about:blank')
    await page.goto(link)
    await settled(page)
    expect(await page.locator('[data-chart="due-windows"] h3').innerText()).toBe(there)
    expect(await page.locator('.standing').innerText()).toContain('1 August 2026')
    await page.getByRole('link', { name: 'Last day on record' }).click()
    await page.waitForURL((url) => !url.search.includes('as_of'))
  })

  test('the due list unfolds by keyboard, says through which day it is counted, and groups by status', async () => {
    if (!isSample()) return
    await visit(page, 'tanks')
    const group = page.locator('#due-TX-101')
    expect(await group.locator('summary').innerText()).toMatch(/overdue \d+.*counted through \d+ \w+ 2026/s)
    await group.locator('summary').focus()
    await page.keyboard.press('Enter')
    await group.locator('tbody tr').first().waitFor()
    const statuses = await group.locator('tbody .status').allInnerTexts()
    const ranks = ['overdue', 'in-tolerance', 'due', 'no-baseline', 'plan', 'ok']
    const places = statuses.map((text) => ranks.findIndex((rank) => text.trim().endsWith(rank)))
    expect(places).toEqual([...places].sort((a, b) => a - b))
    await page
      .selectOption('#due-by', 'status' as never)
      .catch(() => page.selectOption('#due-by', { label: 'status' }))
    expect(await page.locator('.groups summary b').allInnerTexts()).toContain('in-tolerance')
  })

  test('a count opens to the drops behind it, by keyboard, and they sum to it', async () => {
    if (!isSample()) return
    await visit(page, 'tank', 'tank=TX-101')
    await page.selectOption('#cycles-counter', 'door-cycles')
    const link = page.locator('a[href*="evidence=count"][href*="%2Ftotal%2F"]').first()
    const shown = Number((await link.innerText()).replaceAll(',', ''))
    await link.focus()
    await page.keyboard.press('Enter')
    await page.locator('dialog tbody tr').first().waitFor()
    expect(await page.locator('dialog .panel-body b').first().innerText()).toBe(shown.toLocaleString('en-US'))
    expect(await violations(page)).toEqual([])
    const id = decodeURIComponent(new URL(page.url()).searchParams.get('evidence')!).split(':')[1]!
    const [item, counter, part, day] = id.split('/')
    const events = await rowsOf(`count-events?item=${item}&counter=${counter}&part=${part}&as_of=${day}`)
    expect(events.reduce((sum, row) => sum + Number(row.adds), 0)).toBe(shown)
    await page.locator('dialog a[href*="evidence=drop"]').first().click()
    await page.locator('dialog .observation').first().waitFor()
    await page.keyboard.press('Escape')
    await page.waitForFunction(() => !location.search.includes('evidence'))
  })

  test('what if: days move beside those that stand, by keyboard, and the account stays as it is', async () => {
    if (!isSample()) return
    const before = await rowsOf('inspections-due?tank=TX-101&as_of=2026-10-12')
    await visit(page, 'what-if', 'tank=TX-101&as_of=2026-10-12')
    expect(await page.locator('.state.empty').first().innerText()).toContain('Nothing is supposed yet')
    await page.locator('#suppose-per-day').focus()
    await page.keyboard.type('12')
    await page.keyboard.press('Enter')
    await page.waitForURL(/per_day=12/)
    await page.locator('[data-chart="due-shift"] svg').waitFor()
    expect(await page.locator('[data-chart="due-shift"] h3').innerText()).toMatch(/would fall due earlier/)
    await page.locator('#suppose-what').focus()
    await page.selectOption('#suppose-what', 'done DH@DR-1016')
    await page.locator('#suppose-on').fill('2026-10-20')
    await page.locator('#suppose-add').focus()
    await page.keyboard.press('Enter')
    await page.waitForURL(/done=DH%40DR-1016%402026-10-20/)
    await settled(page)
    await page.waitForFunction(() => document.querySelector('.steps li')?.textContent?.includes('DR-1016'))
    expect(await page.locator('tbody tr').first().innerText()).toContain('done on 2026-10-20')
    expect(await rowsOf('inspections-due?tank=TX-101&as_of=2026-10-12')).toEqual(before)
    await page.getByRole('button', { name: /^Take back/ }).click()
    await page.waitForURL((url) => !url.search.includes('done='))
  })

  test('the work list has room to sign, prints as it stands, and leaves as page and workbook', async () => {
    if (!isSample()) return
    await visit(page, 'work-list', 'tank=TX-101')
    const visits = await page.locator('details.visit').count()
    expect(visits).toBeGreaterThan(1)
    expect(await page.locator('details.visit .blank').count()).toBeGreaterThan(3)
    await page.emulateMedia({ media: 'print' })
    for (const part of ['.family', '.papers', '#index'])
      expect(await page.locator(part).first().isVisible()).toBe(false)
    expect(await page.locator('.caution').first().isVisible()).toBe(true)
    expect(await page.locator('details.visit .blank').first().isVisible()).toBe(true)
    await page.emulateMedia({ media: 'screen' })
    const [html, xlsx] = await Promise.all(
      ['Printable page', 'XLSX'].map(async (name) => {
        const href = await page.getByRole('link', { name }).getAttribute('href')
        return fetch(`${served.url}/${href}`)
      }),
    )
    const text = await html!.text()
    expect(html!.headers.get('content-type')).toContain('text/html')
    expect(text).toContain('licensed staff decide')
    expect(text).toContain('TX-101')
    expect(new Uint8Array(await xlsx!.arrayBuffer()).slice(0, 2)).toEqual(new Uint8Array([0x50, 0x4b]))
    await page.locator('#work-ahead').fill('300')
    await page.locator('#work-ahead').press('Enter')
    await page.waitForURL(/ahead=300/)
    await settled(page)
    expect(await page.locator('details.visit').count()).toBeLessThan(visits)
  })

  test('the conversion sheet says what the tank is, has counted and needs, and has a printable page', async () => {
    if (!isSample()) return
    await visit(page, 'conversion')
    await page.getByRole('link', { name: 'TX-101', exact: true }).click()
    await page.waitForURL(/tank=TX-101/)
    await settled(page)
    const text = await page.locator('main').innerText()
    for (const part of ['N801ZY', 'N803ZY', 'DR-1025', 'adjusted 2026-08-13', 'coverage level'])
      expect(text).toContain(part)
    const href = await page.getByRole('link', { name: 'Printable page' }).getAttribute('href')
    const sheet = await (await fetch(`${served.url}/${href}`)).text()
    expect(sheet).toContain('Conversion sheet')
    expect(sheet).toContain('DR-1025')
    expect(sheet).not.toContain('TM-102')
  })
})

describe.skipIf(!browser)('the keeper of the records', { timeout: 240_000 }, () => {
  let opened: Opened
  let page: Page
  beforeAll(async () => {
    opened = await open(browser!)
    page = opened.page
    page.setDefaultTimeout(patienceMs)
  })
  afterAll(() => opened?.close())

  /** Signs the form that is open and sends it by keyboard. */
  const sign = async (reason: string): Promise<void> => {
    await page.locator('dialog input[name=reason]').fill(reason)
    await page.locator('dialog input[name=by]').fill('R. Planner')
    await page.locator('dialog input[name=by]').press('Enter')
  }
  const outcome = async (): Promise<string> => {
    await page.locator('dialog .outcome p').first().waitFor()
    const text = await page.locator('dialog .outcome').innerText()
    await page.keyboard.press('Enter')
    await page.waitForFunction(() => !document.querySelector('dialog.small'))
    await caughtUp(page)
    return text
  }
  const standing = async (name: string): Promise<number> =>
    ((await (await fetch(`${served.url}/api/status`)).json()) as { counts: Record<string, number> }).counts[
      name
    ]!

  /** Another hand writes a note. @returns its number. */
  const noteOnLine = async (line: string): Promise<number> => {
    const made = await fetch(`${served.url}/api/amendments`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({
        action: 'invoice-note',
        payload: { contract: 'ZY-26-A', invoice: 'INV-A-2606', line, state: 'disputed' },
        reason: 'Answer awaited',
        by: 'R. Alder',
      }),
    })
    expect(made.ok).toBe(true)
    return ((await made.json()) as { amendment_no: number }).amendment_no
  }

  test('a name in quarantine is cured by an alias, and the amendment is taken back', async () => {
    if (!isSample()) return
    const waiting = await standing('quarantined')
    await visit(page, 'records')
    await page.getByRole('button', { name: 'Say who N941QX is' }).first().press('Enter')
    await page.locator('dialog select[name=target] option').first().waitFor({ state: 'attached' })
    expect(await page.locator('dialog input[name=alias]').inputValue()).toBe('N941QX')
    expect(await violations(page)).toEqual([])
    await page.selectOption('dialog select[name=target]', 'N801ZY')
    await sign('Lease number of that aircraft')
    const said = await outcome()
    const number = Number(/Recorded as amendment (\d+)/.exec(said)![1])
    expect(said).toContain(`Rows in quarantine ${waiting} → ${await standing('quarantined')}`)
    expect(await standing('quarantined')).toBeLessThan(waiting)
    await page.locator(`#undo-${number}`).press('Enter')
    expect(await page.locator('dialog.small').innerText()).toContain('aircraft N801ZY is also called N941QX')
    await sign('It was another aircraft')
    expect(await outcome()).toContain(`→ ${waiting}`)
    await page.getByText(`undone by ${number + 1}`).waitFor()
    expect(await page.locator(`#undo-${number}`).count()).toBe(0)
  })

  test('a line in quarantine is set aside, and the amendment is taken back', async () => {
    if (!isSample()) return
    const waiting = await standing('quarantined')
    await visit(page, 'records')
    await page
      .getByRole('button', { name: /^Set aside line \d+ of / })
      .first()
      .press('Enter')
    await sign('A note at the foot of the sheet')
    const said = await outcome()
    const number = Number(/Recorded as amendment (\d+)/.exec(said)![1])
    expect(said).toContain(`Rows in quarantine ${waiting} → ${waiting - 1}`)
    await page.locator(`#undo-${number}`).press('Enter')
    expect(await page.locator('dialog.small').innerText()).toMatch(/line \d+-\d+ is set aside/)
    await sign('It was an event after all')
    expect(await outcome()).toContain(`→ ${waiting}`)
  })

  test('a refusal stands in the form, and nothing is recorded without a reason', async () => {
    if (!isSample()) return
    const amendments = await standing('amendments')
    await visit(page, 'records')
    await page.locator('#do-note').press('Enter')
    for (const [name, text] of [
      ['contract', 'ZY-26-A'],
      ['invoice', 'INV-A-2606'],
      ['line', '9999'],
    ] as const)
      await page.locator(`dialog input[name=${name}]`).fill(text)
    await page.selectOption('dialog select[name=state]', 'agreed')
    await page.locator('dialog button[type=submit]').click()
    expect(await standing('amendments')).toBe(amendments)
    await sign('Agreed by phone')
    await page.locator('dialog .message', { hasText: 'there is no line 9999' }).waitFor()
    expect(await standing('amendments')).toBe(amendments)
    await page.locator('dialog input[name=line]').fill('1')
    await page.locator('dialog button[type=submit]').click()
    expect(await outcome()).toMatch(/Recorded as amendment \d+/)
    expect(await standing('amendments')).toBe(amendments + 1)
  })

  test('a finding is accepted, resolved and opened again', async () => {
    if (!isSample()) return
    await visit(page, 'records')
    const button = page.getByRole('button', { name: /^Decide on unrecorded-release/ }).first()
    const id = await button.getAttribute('id')
    const open = await standing('findings')
    for (const [state, expected] of [
      ['accepted', open - 1],
      ['resolved', open - 1],
      ['open', open],
    ] as const) {
      await page.selectOption('#findings-state', '')
      for (
        let more = page.getByRole('button', { name: /^Show \d+ more/ }).first();
        !(await page.locator(`#${id}`).count());
      )
        await more.click()
      await page.locator(`#${id}`).press('Enter')
      await page.selectOption('dialog select[name=state]', state)
      await sign(`Looked at by the base: ${state}`)
      await outcome()
      expect(await standing('findings')).toBe(expected)
    }
  })

  test('news of what another hand did leaves the tables sorted and unfolded as they are read, and the focus in place', async () => {
    if (!isSample()) return
    await visit(page, 'records')
    const findings = page.locator('.table-block', { has: page.locator('caption', { hasText: 'Findings' }) })
    const unfold = findings.getByRole('button', { name: /^Show \d+ more/ })
    expect(await findings.locator('tbody tr').count()).toBe(25)
    await unfold.click()
    const header = findings.getByRole('button', { name: 'Severity' })
    await header.press('Enter')
    const rows = await findings.locator('tbody tr').count()
    expect(rows).toBeGreaterThan(25)
    const drops = page.locator('.table-block', { has: page.locator('caption', { hasText: 'every purpose' }) })
    await drops.getByRole('button', { name: 'Show more' }).click()
    await drops.locator('tbody tr').nth(100).waitFor()
    await header.focus()
    const amendment = await noteOnLine('1')
    await page.locator(`#undo-${amendment}`).waitFor()
    await caughtUp(page)
    expect(await findings.locator('tbody tr').count()).toBe(rows)
    expect(await findings.locator('th[aria-sort=ascending]').innerText()).toContain('severity')
    expect(await drops.locator('tbody tr').count()).toBe(125)
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('severity')
  })

  test('news does not take away what is being supposed or ticked', async () => {
    if (!isSample()) return
    await visit(page, 'what-if', 'tank=TX-101')
    const [perDay, what] = [page.locator('#suppose-per-day'), page.locator('#suppose-what')]
    await perDay.fill('7')
    await page.locator('#suppose-on').fill('2026-12-24')
    await what.selectOption({ index: 1 })
    const part = await what.inputValue()
    await noteOnLine('2')
    await caughtUp(page)
    expect(await perDay.inputValue()).toBe('7')
    expect(await page.locator('#suppose-on').inputValue()).toBe('2026-12-24')
    expect(await what.inputValue()).toBe(part)
    await visit(page, 'tanks')
    await page.locator('#due-by').selectOption({ label: 'status' })
    await page.locator('#due-all-limits').check()
    expect(await page.locator('#due-by option:checked').innerText()).toBe('status')
    const ticked = await page.locator('#due-all-limits').elementHandle()
    await noteOnLine('3')
    await page.waitForFunction((element) => !element?.isConnected, ticked)
    await settled(page)
    expect(await page.locator('#due-all-limits').isChecked()).toBe(true)
    expect(await page.locator('#due-by option:checked').innerText()).toBe('status')
  })

  test('a record that a correction gives another name is followed, there and back', async () => {
    if (!isSample()) return
    const [drop] = await rowsOf('drops?limit=1')
    const id = String(drop!.drop)
    const time = new Date(Date.parse(String(drop!.dropped_at)) + 90_000).toISOString()
    const { observations } = (await (await fetch(`${served.url}/api/evidence/drop/${id}`)).json()) as {
      observations: { obs_no: number }[]
    }
    await visit(page, 'records', `evidence=drop:${id}`)
    const part = page.locator('.amend details', { hasText: 'Set a field' }).first()
    await part.locator('summary').press('Enter')
    await part.locator('select[name=obs]').selectOption(String(observations[0]!.obs_no))
    await part.locator('select[name=field]').selectOption('dropped_at')
    await part.locator('input[name=value]').fill(time)
    await part.locator('input[name=reason]').fill('The clock was read wrongly')
    await part.locator('input[name=by]').fill('R. Planner')
    await part.locator('button[type=submit]').press('Enter')
    await page.waitForURL((url) => !url.search.includes(encodeURIComponent(id)) && !url.search.includes(id))
    const title = page.locator('#evidence-title')
    await expect.poll(() => title.innerText()).toContain(time.slice(11, 19))
    const [amendment] = await rowsOf('amendments?limit=1')
    const undone = await fetch(`${served.url}/api/amendments`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({
        action: 'undo',
        payload: { amendment_no: amendment!.amendment_no },
        reason: 'It was right',
        by: 'R. Planner',
      }),
    })
    expect(undone.ok).toBe(true)
    await page.waitForURL((url) => decodeURIComponent(url.search).includes(`drop:${id}`))
    await expect.poll(() => title.innerText()).not.toContain(time.slice(11, 19))
    await caughtUp(page)
    await page.locator('dialog .close').press('Enter')
    await page.waitForFunction(() => !document.querySelector('dialog[open]'))
  })

  test('a closed season is opened again', async () => {
    if (!isSample()) return
    const cli = (...args: string[]): string =>
      execFileSync(process.execPath, ['dist/cli.js', ...args, '--warehouse', served.warehouse!], {
        encoding: 'utf8',
      })
    cli('close', '2026', '--by', 'R. Alder')
    await visit(page, 'records')
    expect(await page.locator('main').innerText()).toContain('Season 2026 is closed since')
    await page.locator('#do-reopen').press('Enter')
    await sign('Late tickets from the base')
    expect(await outcome()).toMatch(/Recorded as amendment/)
    await page.waitForFunction(() => !document.querySelector('#do-reopen'))
    expect(await rowsOf('closed-seasons')).toMatchObject([{ season: '2026', is_closed: false }])
  })
})
