import { existsSync } from 'node:fs'
import { type Browser, chromium } from 'playwright-core'

const flags = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
]

/** The browser to test in: `CHROMIUM_PATH`, `/usr/bin/chromium`, then the one inside `@sparticuz/chromium`. Null if there is none. */
export async function findBrowser(): Promise<string | null> {
  for (const path of [process.env.CHROMIUM_PATH, '/usr/bin/chromium'])
    if (path && existsSync(path)) return path
  try {
    const name = '@sparticuz/chromium'
    const packed = (await import(name)) as { default: { executablePath(): Promise<string> } }
    return await packed.default.executablePath()
  } catch {
    return null
  }
}

/**
 * Launches it. Without one, a run on a desk skips (null, with a plain message) and a run in CI fails.
 * @throws Error in CI when no browser is found.
 */
export async function launch(): Promise<Browser | null> {
  const executablePath = await findBrowser()
  if (executablePath) return chromium.launch({ executablePath, args: flags, headless: true })
  const message = 'No browser found: set CHROMIUM_PATH, or install chromium. The pages were not tested.'
  if (process.env.CI) throw new Error(message)
  console.warn(message)
  return null
}
