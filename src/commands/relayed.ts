import type { Arguments } from './arguments.ts'
import { CommandError, type Effects } from './effects.ts'
import { maybeServed, warehouseFolder } from './session-folder.ts'

/**
 * Has the server that holds the warehouse run the command, where one runs.
 * @returns its exit code, or null when there is no server and the command runs here.
 */
export async function relayed(
  argv: readonly string[],
  args: Arguments,
  effects: Effects,
): Promise<number | null> {
  if (effects.warehouse) return null
  const folder = warehouseFolder(args, effects)
  if (!maybeServed(folder)) return null
  const { readServerInfo, RelayFailed, relayTo } = await import('../server/relay.ts')
  const info = readServerInfo(folder)
  if (info === null) return null
  const stop = new AbortController()
  void effects.stopped.then(() => stop.abort())
  const piece =
    (text: (one: string) => void, bytes: (one: Uint8Array) => void) => (part: string | Uint8Array) =>
      typeof part === 'string' ? text(part) : bytes(part)
  try {
    return await relayTo(
      info,
      {
        argv: [...argv],
        cwd: effects.cwd,
        columns: effects.columns,
        isTTY: effects.isTerminal,
        hasColor: effects.hasColor,
      },
      {
        out: piece(effects.out, effects.outBytes),
        err: piece(effects.err, (part) => effects.err(new TextDecoder().decode(part))),
      },
      stop.signal,
    )
  } catch (error) {
    if (stop.signal.aborted) {
      if (argv[0] === 'watch') return 0
      throw new CommandError('stopped waiting; the running server finishes what it has begun')
    }
    if (error instanceof RelayFailed) throw new CommandError(error.message)
    throw error
  }
}
