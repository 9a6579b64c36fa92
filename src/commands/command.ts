import type { Arguments, OptionSpecs } from './arguments.ts'
import type { Effects } from './effects.ts'

export interface Command {
  readonly name: string
  readonly summary: string
  /** What follows the name: `PATH...`. */
  readonly usage: string
  readonly options: OptionSpecs
  readonly examples: readonly string[]
  /** False: never handed to a running server (it needs none, or is one). Default true. */
  readonly isRelayed?: boolean
  /** @returns the exit code. */
  run(args: Arguments, effects: Effects): Promise<number>
}
