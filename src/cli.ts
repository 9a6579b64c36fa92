import type { OuterEffects } from './commands/effects.ts'
import { main } from './commands/main.ts'

declare const __VERSION__: string
const version = typeof __VERSION__ === 'string' ? __VERSION__ : '0.0.0-source'

const { stdout, stderr, env } = process
let stop = () => {}
const stopped = new Promise<void>((resolve) => {
  stop = resolve
})
for (const signal of ['SIGINT', 'SIGTERM'] as const) {
  let asked = false
  process.on(signal, () => {
    if (asked) process.exit(130)
    asked = true
    stop()
    setTimeout(() => process.exit(130), 5000).unref()
  })
}
// A reader that closes the pipe early (head, less) is no failure.
stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0)
})

const effects: OuterEffects = {
  out: (text) => void stdout.write(text),
  err: (text) => void stderr.write(text),
  outBytes: (bytes) => void stdout.write(bytes),
  isTerminal: stderr.isTTY === true,
  columns: stdout.columns ?? (Number(env.COLUMNS) > 0 ? Number(env.COLUMNS) : 120),
  hasColor: stdout.isTTY === true && !env.NO_COLOR && env.TERM !== 'dumb',
  cwd: process.cwd(),
  env,
  now: () => new Date(),
  stopped,
}

process.exitCode = await main(process.argv.slice(2), effects, version)
// Long-lived handles (a database thread pool) must not keep a finished command alive.
if (stdout.writableLength === 0) process.exit()
stdout.once('drain', () => process.exit())
