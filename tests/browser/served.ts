import { spawn } from 'node:child_process'
import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { buildPages } from '../dashboards/build-pages.ts'
import { startFixture } from '../dashboards/fixture-server.ts'

export interface Served {
  readonly url: string
  /** Folder of its warehouse; null for invented answers. */
  readonly warehouse: string | null
  close(): Promise<void>
}

const program = 'dist/cli.js'
const sample = 'sample-logs/season-2026'
const patienceMs = 240_000

/** The built server with the sample season in it; where nothing is built, invented answers, and it says so. */
export async function startSample(more: readonly string[] = []): Promise<Served> {
  if (existsSync(program) && existsSync('dist/dashboards/main.js') && existsSync(sample))
    return startServer(more)
  console.warn(`${program} is not built: the pages are looked at on invented answers.`)
  return { ...(await startFixture(await buildPages())), warehouse: null }
}

function startServer(more: readonly string[]): Promise<Served> {
  const warehouse = mkdtempSync(join(tmpdir(), 'warehouse-'))
  const args = [program, 'serve', '--port', '0', '--warehouse', warehouse, '--first-ingest', sample, ...more]
  const server = spawn(process.execPath, args, { stdio: ['ignore', 'pipe', 'pipe'] })
  let said = ''
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => fail(`the server did not start in ${patienceMs / 1000} s`), patienceMs)
    function fail(reason: string): void {
      clearTimeout(timer)
      server.kill()
      reject(new Error(`${reason}: ${said}`))
    }
    const hear = (chunk: Buffer): void => {
      said += chunk.toString()
      const url = /http:\/\/127\.0\.0\.1:\d+/.exec(said)?.[0]
      if (!url) return
      clearTimeout(timer)
      resolve({ url, warehouse, close: () => stop(server, warehouse) })
    }
    server.stdout.on('data', hear)
    server.stderr.on('data', hear)
    server.on('exit', (code) => fail(`the server ended with ${code}`))
  })
}

function stop(server: ReturnType<typeof spawn>, warehouse: string): Promise<void> {
  return new Promise((resolve) => {
    server.on('exit', () => {
      rmSync(warehouse, { recursive: true, force: true })
      resolve()
    })
    server.kill()
  })
}
