import { execFile } from 'node:child_process'
import { existsSync } from 'node:fs'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { delimiter, join } from 'node:path'
import { pathToFileURL } from 'node:url'

/** There is no browser to print with, or it did not print; the message says what to do. */
export class PrintingFailed extends Error {
  constructor(reason: string) {
    super(reason)
    this.name = 'PrintingFailed'
  }
}

const names = [
  'chromium',
  'chromium-browser',
  'google-chrome',
  'google-chrome-stable',
  'microsoft-edge',
  'chrome',
]

const places = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/snap/bin/chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
  'C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe',
]

/** The browser that prints: `CHROMIUM_PATH` first, then the usual places, then the path; null when there is none. */
export function findBrowser(env: Readonly<Record<string, string | undefined>> = process.env): string | null {
  if (env.CHROMIUM_PATH) return existsSync(env.CHROMIUM_PATH) ? env.CHROMIUM_PATH : null
  const onPath = (env.PATH ?? '')
    .split(delimiter)
    .filter((folder) => folder !== '')
    .flatMap((folder) => names.map((name) => join(folder, name)))
  return [...places, ...onPath].find((path) => existsSync(path)) ?? null
}

const flags = [
  '--headless',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--disable-extensions',
  '--no-pdf-header-footer',
]

const printingMs = 120_000

/**
 * A PDF of a page that fetches nothing: text stays text, drawings stay vectors.
 * @throws PrintingFailed
 */
export async function toPdf(
  html: string,
  env: Readonly<Record<string, string | undefined>> = process.env,
): Promise<Uint8Array> {
  const browser = findBrowser(env)
  if (browser === null) {
    throw new PrintingFailed(
      env.CHROMIUM_PATH
        ? `there is no browser at CHROMIUM_PATH (${env.CHROMIUM_PATH}); correct it, or write the report as .html and print that`
        : 'no Chromium was found to print with; install one, or name it in CHROMIUM_PATH, or write the report as .html and print that',
    )
  }
  const folder = await mkdtemp(join(tmpdir(), 'gallonage-print-'))
  try {
    const page = join(folder, 'report.html')
    const pdf = join(folder, 'report.pdf')
    await writeFile(page, html)
    // Chromium refuses its sandbox to the superuser; the page is ours and has no script.
    const sandbox = process.getuid?.() === 0 ? ['--no-sandbox'] : []
    const profile = `--user-data-dir=${join(folder, 'profile')}`
    await run(browser, [...flags, ...sandbox, profile, `--print-to-pdf=${pdf}`, pathToFileURL(page).href])
    if (!existsSync(pdf))
      throw new PrintingFailed(`${browser} wrote no PDF; write the report as .html and print that`)
    return await readFile(pdf)
  } finally {
    await rm(folder, { recursive: true, force: true, maxRetries: 5 })
  }
}

function run(command: string, args: string[]): Promise<void> {
  return new Promise((resolve, reject) => {
    execFile(command, args, { timeout: printingMs, maxBuffer: 16 * 1024 * 1024 }, (error) => {
      if (error)
        reject(
          new PrintingFailed(
            `${command} could not print (${error.killed ? 'it took longer than two minutes' : error.message.split('\n')[0]})`,
          ),
        )
      else resolve()
    })
  })
}
