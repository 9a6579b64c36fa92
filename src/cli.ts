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
    // A server closes by itself; what else runs is cut, and leaves nothing half done behind.
    const isServing = process.argv.some((word) => word === 'serve' || word === 'watch')
    setTimeout(
      () => {
        stderr.write('stopped before the end; what was not finished is not kept\n')
        process.exit(130)
      },
      isServing ? 5000 : 100,
    ).unref()
  })
}
// A reader that closes the pipe early (head, less) is no failure.
stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0)
  const reason = error.code === 'ENOSPC' ? 'the disk is full; make room, then try again' : error.message
  stderr.write(`gallonage: the output cannot be written: ${reason}\n`)
  process.exit(1)
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
