import { timingSafeEqual } from 'node:crypto'
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Context } from 'hono'
import { z } from 'zod'
import type { ServerEnv } from './accounts.ts'
import type { CommandRequest, CommandRunner, CommandSinks } from './command-runner.ts'
import type { ServerDeps } from './deps.ts'
import { problem } from './problem.ts'

/** What a second process needs to reach the one that holds the warehouse. */
export type ServerInfo = { pid: number; host: string; port: number; token: string }

const requestSchema = z.strictObject({
  argv: z.array(z.string()).max(10_000),
  cwd: z.string().min(1),
  columns: z.number().int().positive().nullable(),
  isTTY: z.boolean(),
  hasColor: z.boolean().optional(),
})

const frameSchema = z.union([
  z.strictObject({ stream: z.enum(['out', 'err']), text: z.string() }),
  z.strictObject({ stream: z.enum(['out', 'err']), base64: z.string() }),
  z.strictObject({ exit: z.number().int() }),
])

type Frame = z.infer<typeof frameSchema>

export const relayPath = '/internal/command'

const infoFile = 'server.json'

/** Leaves word in the warehouse's folder, for this user's eyes only. */
export function writeServerInfo(folder: string, info: ServerInfo): void {
  const path = join(folder, infoFile)
  rmSync(path, { force: true })
  writeFileSync(path, `${JSON.stringify(info)}\n`, { mode: 0o600, flag: 'wx' })
}

export function removeServerInfo(folder: string): void {
  rmSync(join(folder, infoFile), { force: true })
}

/** The server that holds the warehouse, or null: none left word, or it is gone. */
export function readServerInfo(folder: string): ServerInfo | null {
  const path = join(folder, infoFile)
  if (!existsSync(path)) return null
  try {
    const info = z
      .object({ pid: z.number().int(), host: z.string(), port: z.number().int(), token: z.string() })
      .parse(JSON.parse(readFileSync(path, 'utf8')))
    process.kill(info.pid, 0)
    return info
  } catch {
    return null
  }
}

/** `POST /internal/command`: runs a command for another process and streams what it writes, one frame per line. */
export function relayRoute(deps: ServerDeps): (c: Context<ServerEnv>) => Promise<Response> {
  return async (c) => {
    const { commands, token } = deps
    if (!commands || !token || !isToken(c.req.header('Authorization'), token)) {
      return problem(403, {
        kind: 'no-token',
        detail: 'this address is for gallonage commands on this machine',
      })
    }
    const parsed = requestSchema.safeParse(await c.req.json().catch(() => null))
    if (!parsed.success) return problem(422, { kind: 'bad-command', detail: 'the command cannot be read' })
    return new Response(framesOf(commands, parsed.data, deps), {
      headers: { 'Content-Type': 'application/x-ndjson', 'Cache-Control': 'no-store, no-transform' },
    })
  }
}

function framesOf(
  commands: CommandRunner,
  request: CommandRequest,
  deps: ServerDeps,
): ReadableStream<Uint8Array> {
  const encoder = new TextEncoder()
  const stop = new AbortController()
  return new ReadableStream<Uint8Array>({
    async start(controller) {
      const send = (frame: Frame): void => {
        if (!stop.signal.aborted) controller.enqueue(encoder.encode(`${JSON.stringify(frame)}\n`))
      }
      const piece = (stream: 'out' | 'err', part: string | Uint8Array): void =>
        send(
          typeof part === 'string'
            ? { stream, text: part }
            : { stream, base64: Buffer.from(part).toString('base64') },
        )
      let exit = 1
      try {
        exit = await commands(
          request,
          { out: (part) => piece('out', part), err: (part) => piece('err', part) },
          stop.signal,
        )
      } catch (error) {
        deps.log?.(
          `command ${request.argv[0] ?? ''}: ${error instanceof Error ? error.message : String(error)}`,
        )
        piece('err', `${error instanceof Error ? error.message.split('\n')[0] : 'the command failed'}\n`)
      }
      deps.changes?.tell(await deps.fingerprint())
      send({ exit })
      if (!stop.signal.aborted) controller.close()
    },
    cancel() {
      stop.abort()
    },
  })
}

function isToken(header: string | undefined, token: string): boolean {
  const given = Buffer.from((header ?? '').replace(/^Bearer /, ''))
  const wanted = Buffer.from(token)
  return given.length === wanted.length && timingSafeEqual(given, wanted)
}

/** The server that left word does not answer as itself. */
export class RelayFailed extends Error {
  constructor(reason: string) {
    super(`the running gallonage server does not take commands: ${reason}; stop it, or try again`)
    this.name = 'RelayFailed'
  }
}

/**
 * Has the server that holds the warehouse run a command, and passes on what it writes.
 * @returns the exit code. @throws RelayFailed
 */
export async function relayTo(
  info: ServerInfo,
  request: CommandRequest,
  sinks: CommandSinks,
  signal?: AbortSignal,
): Promise<number> {
  let response: Response
  try {
    response = await fetch(`http://${reachable(info.host)}:${info.port}${relayPath}`, {
      method: 'POST',
      headers: { Authorization: `Bearer ${info.token}`, 'Content-Type': 'application/json' },
      body: JSON.stringify(request),
      ...(signal ? { signal } : {}),
    })
  } catch {
    throw new RelayFailed('nothing answers on its port')
  }
  if (!response.ok || !response.body) throw new RelayFailed(`it answers ${response.status}`)
  let exit: number | null = null
  for await (const line of linesOf(response.body)) {
    const frame = frameSchema.parse(JSON.parse(line))
    if ('exit' in frame) exit = frame.exit
    else sinks[frame.stream]('text' in frame ? frame.text : Buffer.from(frame.base64, 'base64'))
  }
  if (exit === null) throw new RelayFailed('it stopped in the middle of the command')
  return exit
}

/** A server on every address is reached on the loopback one. */
function reachable(host: string): string {
  if (host === '0.0.0.0' || host === '::') return '127.0.0.1'
  return host.includes(':') ? `[${host}]` : host
}

async function* linesOf(body: ReadableStream<Uint8Array>): AsyncGenerator<string> {
  const decoder = new TextDecoder()
  let rest = ''
  try {
    for await (const bytes of body) {
      const lines = (rest + decoder.decode(bytes, { stream: true })).split('\n')
      rest = lines.pop()!
      for (const line of lines) if (line !== '') yield line
    }
  } catch {
    throw new RelayFailed('the connection broke')
  }
}
