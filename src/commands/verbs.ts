import type { Command } from './command.ts'
import type { VerbName } from './verb-names.ts'

/** Where each verb lives: a command loads nothing of the others. */
export const verbs: Readonly<Record<VerbName, () => Promise<Command>>> = {
  ingest: async () => (await import('./ingest.ts')).ingestCommand,
  watch: async () => (await import('./watch.ts')).watchCommand,
  query: async () => (await import('./query.ts')).queryCommand,
  serve: async () => (await import('./serve.ts')).serveCommand,
  report: async () => (await import('./report.ts')).reportCommand,
  due: async () => (await import('./shortcuts.ts')).dueCommand,
  reconcile: async () => (await import('./shortcuts.ts')).reconcileCommand,
  findings: async () => (await import('./shortcuts.ts')).findingsCommand,
  evidence: async () => (await import('./evidence.ts')).evidenceCommand,
  amend: async () => (await import('./amend.ts')).amendCommand,
  alias: async () => (await import('./amend.ts')).aliasCommand,
  profile: async () => (await import('./profile.ts')).profileCommand,
  verify: async () => (await import('./verify.ts')).verifyCommand,
  close: async () => (await import('./close.ts')).closeCommand,
  export: async () => (await import('./export.ts')).exportCommand,
  setting: async () => (await import('./setting.ts')).settingCommand,
  completion: async () => (await import('./completion.ts')).completionCommand,
}
