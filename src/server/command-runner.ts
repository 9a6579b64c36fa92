export type CommandRequest = {
  argv: string[]
  cwd: string
  columns: number | null
  isTTY: boolean
  hasColor?: boolean | undefined
}

/** Where a command writes. */
export type CommandSinks = {
  out: (piece: string | Uint8Array) => void
  err: (piece: string | Uint8Array) => void
}

/** Runs a command line; the answer is its exit code. */
export type CommandRunner = (
  request: CommandRequest,
  sinks: CommandSinks,
  signal: AbortSignal,
) => Promise<number>
