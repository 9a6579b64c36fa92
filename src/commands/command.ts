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

/** Every verb with the file that holds it: help needs no more, and a command loads nothing of the others. */
export const verbs: Readonly<Record<string, { summary: string; load: () => Promise<Command> }>> = {
  ingest: {
    summary: 'take files or folders of logs into the warehouse',
    load: async () => (await import('./ingest.ts')).ingestCommand,
  },
  watch: {
    summary: 'take whatever appears or grows in a folder',
    load: async () => (await import('./watch.ts')).watchCommand,
  },
  query: {
    summary: 'run a named question, or list them',
    load: async () => (await import('./query.ts')).queryCommand,
  },
  serve: {
    summary: 'dashboards and API on this machine',
    load: async () => (await import('./serve.ts')).serveCommand,
  },
  report: {
    summary: 'a printable report: season, maintenance, contract',
    load: async () => (await import('./report.ts')).reportCommand,
  },
  due: {
    summary: 'what inspections fall due, and when',
    load: async () => (await import('./shortcuts.ts')).dueCommand,
  },
  reconcile: {
    summary: 'invoices held against what was delivered',
    load: async () => (await import('./shortcuts.ts')).reconcileCommand,
  },
  findings: {
    summary: 'what a person must look at',
    load: async () => (await import('./shortcuts.ts')).findingsCommand,
  },
  evidence: {
    summary: 'everything behind one record, down to file and line',
    load: async () => (await import('./evidence.ts')).evidenceCommand,
  },
  amend: {
    summary: 'record a correction, with reason and name',
    load: async () => (await import('./amend.ts')).amendCommand,
  },
  alias: {
    summary: 'record another name for an aircraft, tank, base or fire',
    load: async () => (await import('./amend.ts')).aliasCommand,
  },
  profile: {
    summary: 'draft a profile for an unknown file',
    load: async () => (await import('./profile.ts')).profileCommand,
  },
  verify: {
    summary: 'rebuild from raw rows and compare',
    load: async () => (await import('./verify.ts')).verifyCommand,
  },
  close: {
    summary: 'freeze a season, or re-open it with a reason',
    load: async () => (await import('./close.ts')).closeCommand,
  },
  export: {
    summary: 'canonical tables as Parquet, CSV or GeoJSON',
    load: async () => (await import('./export.ts')).exportCommand,
  },
  setting: {
    summary: 'show or set the home zone and other settings',
    load: async () => (await import('./setting.ts')).settingCommand,
  },
  completion: {
    summary: 'shell completion for bash, zsh or fish',
    load: async () => (await import('./completion.ts')).completionCommand,
  },
}
