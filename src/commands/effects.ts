import type { Warehouse } from '../warehouse/index.ts'
import type { VerbName } from './verb-names.ts'

/** Everything a command may touch of the world, so that it runs the same in a terminal, a server or a test. */
export interface Effects {
  readonly out: (text: string) => void
  readonly err: (text: string) => void
  /** Bytes to standard output, for Arrow, Parquet and workbooks. */
  readonly outBytes: (bytes: Uint8Array) => void
  readonly isTerminal: boolean
  /** Width of the terminal in characters. */
  readonly columns: number
  readonly hasColor: boolean
  readonly cwd: string
  readonly env: Readonly<Record<string, string | undefined>>
  readonly now: () => Date
  /** Resolves when the user wants a long-running command to stop. */
  readonly stopped: Promise<void>
  /** The open warehouse of a running server; a command alone opens its own. */
  readonly warehouse?: Warehouse
  /** Runs another command line, for a server that is handed those of other terminals. @returns its exit code. */
  readonly runLine: (argv: readonly string[], effects: Effects) => Promise<number>
  /** Of this program. */
  readonly version: string
  /** Loads what another verb tells of itself. */
  readonly verb: (name: VerbName) => Promise<VerbFacts>
}

/** What help and completion tell of a verb. */
export interface VerbFacts {
  readonly summary: string
  readonly options: Readonly<Record<string, { readonly type: 'string' | 'boolean'; readonly about: string }>>
}

/** What a program or a test brings; `main` adds the rest. */
export type OuterEffects = Omit<Effects, 'runLine' | 'verb' | 'version'>

/** Wrong usage: exit code 2. */
export class UsageError extends Error {}

/** The command failed, and this sentence says what, where and what to do: exit code 1. */
export class CommandError extends Error {}
