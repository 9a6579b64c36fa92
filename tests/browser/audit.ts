import axe from 'axe-core'
import type { Browser, BrowserContextOptions, Page } from 'playwright-core'

export interface Opened {
  readonly page: Page
  /** Errors and warnings of the console, and errors that nothing caught. */
  readonly complaints: string[]
  close(): Promise<void>
}

/** A page in a context of its own that remembers every complaint. */
export async function open(browser: Browser, options: BrowserContextOptions = {}): Promise<Opened> {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, ...options })
  const page = await context.newPage()
  const complaints: string[] = []
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text())
  })
  page.on('pageerror', (error) => complaints.push(error.message))
  return { page, complaints, close: () => context.close() }
}

/** Waits until every question of the page has its answer and the drawings stand. */
export async function settled(page: Page): Promise<void> {
  await page.waitForSelector('main h1, main .first-run, main .failed')
  await page.waitForFunction(() => !document.querySelector('[aria-busy], main > .loading'))
  await page.waitForFunction(() =>
    [...document.querySelectorAll('.ground')].every((ground) => ground.querySelector('svg')),
  )
}

/** What axe-core finds, as `rule: target` lines. */
export async function violations(page: Page): Promise<string[]> {
  await page.evaluate(axe.source)
  return page.evaluate(async () => {
    // What fades in is judged when it stands.
    const endless = (one: Animation) => one.effect?.getComputedTiming().endTime === Number.POSITIVE_INFINITY
    const passing = document.getAnimations().filter((one) => !endless(one))
    await Promise.allSettled(passing.map((one) => one.finished))
    const result = await (
      globalThis as unknown as {
        axe: {
          run(): Promise<{
            violations: { id: string; nodes: { target: unknown; failureSummary?: string }[] }[]
          }>
        }
      }
    ).axe.run()
    return result.violations.flatMap((rule) =>
      rule.nodes.map((node) => `${rule.id}: ${String(node.target)} ${node.failureSummary ?? ''}`),
    )
  })
}
