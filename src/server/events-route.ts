import type { Context } from 'hono'
import { streamSSE } from 'hono/streaming'
import type { ServerEnv } from './accounts.ts'
import type { Changes } from './changes.ts'
import type { ServerDeps } from './deps.ts'

const beatMs = 25_000

/** `GET /api/events`: server-sent events; `change` carries the fingerprint, first the one that stands. */
export function eventsRoute(deps: ServerDeps, changes: Changes): (c: Context<ServerEnv>) => Response {
  return (c) =>
    streamSSE(c, async (stream) => {
      const change = (fingerprint: string): Promise<void> =>
        stream.writeSSE({ event: 'change', data: fingerprint })
      const stopListening = changes.listen((fingerprint) => void change(fingerprint).catch(() => undefined))
      let end: () => void = () => undefined
      const ended = new Promise<void>((resolve) => {
        end = resolve
      })
      const beat = setInterval(() => void stream.write(': still here\n\n').catch(() => undefined), beatMs)
      stream.onAbort(end)
      await change(await deps.fingerprint())
      await ended
      clearInterval(beat)
      stopListening()
    })
}
