import { relative } from 'node:path'
import { type FileReport, type IngestReport, ingest } from '../intake/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import type { Command } from './command.ts'
import { type Effects, UsageError } from './effects.ts'
import { progressBar } from './progress.ts'
import { inFolder, withWarehouse } from './session.ts'
import { bringUpToDate } from './update.ts'

/** Undoes a transaction on purpose: nothing of a dry run stays. */
class DryRun extends Error {}

export const ingestCommand: Command = {
  name: 'ingest',
  summary: 'take files or folders of logs into the warehouse',
  usage: 'PATH...',
  options: {
    profile: {
      type: 'string',
      multiple: true,
      value: 'FILE',
      about: 'a profile for files with other headers; may be repeated',
    },
    'dry-run': { type: 'boolean', about: 'say what would happen, write nothing' },
    strict: { type: 'boolean', about: 'exit 3 if any row was quarantined or a file not recognised' },
  },
  examples: [
    'gallonage ingest season-logs/',
    'gallonage ingest tickets.csv --profile profiles/tickets.json',
    'gallonage ingest inbox/ --strict --json',
  ],
  async run(args, effects) {
    if (args.positionals.length === 0) throw new UsageError('name at least one file or folder')
    const paths = args.positionals.map((path) => inFolder(effects.cwd, path))
    const profiles = args.all('profile').map((path) => inFolder(effects.cwd, path))
    const bar = progressBar(effects, args.flag('quiet') || args.flag('json'))
    const isDry = args.flag('dry-run')
    const { report, waiting } = await withWarehouse(
      args,
      effects,
      async (warehouse) => ({
        report: await takeIn(warehouse, paths, profiles, effects, { isDry, onProgress: bar.show }),
        waiting: Number(await warehouse.value('SELECT count(*) FROM obs.waiting')),
      }),
      { mayMake: true },
    )
    bar.clear()
    const hasFailed = report.files.length === 0 && report.problems.length > 0
    if (args.flag('json')) effects.out(reportJson(report, 2))
    else if (hasFailed) effects.err(`${report.problems.join('\n')}\n`)
    else effects.out(reportText(report, effects.cwd))
    if (report.files.length === 0 && report.problems.length === 0)
      effects.err(`nothing to take: there is no file in ${args.positionals.join(', ')}\n`)
    if (report.problems.length > 0 && args.flag('json') && !args.flag('quiet'))
      effects.err(`${report.problems.join('\n')}\n`)
    if (args.flag('quiet') || args.flag('json')) {
      // Only what was asked for.
    } else if (isDry) effects.err('dry run: nothing was taken in\n')
    else if (waiting > 0)
      effects.err(
        `${waiting.toLocaleString('en-US')} ${waiting === 1 ? 'row waits' : 'rows wait'} in quarantine; "gallonage query quarantine" says where and why\n`,
      )
    if (hasFailed) return 1
    return args.flag('strict') && !report.isClean ? 3 : 0
  },
}

/** Takes files in and brings every answer up to date, all or nothing. */
export async function takeIn(
  warehouse: Warehouse,
  paths: readonly string[],
  profiles: readonly string[],
  effects: Pick<Effects, 'now'>,
  options: {
    isDry?: boolean
    onProgress?: (done: number, total: number, path: string) => void
    shownPath?: (path: string) => string
    keepsEveryProfile?: boolean
  } = {},
): Promise<IngestReport> {
  const take = (settle?: () => Promise<void>) =>
    ingest(warehouse, paths, profiles, {
      now: effects.now,
      ...(options.onProgress ? { onProgress: options.onProgress } : {}),
      ...(options.shownPath ? { shownPath: options.shownPath } : {}),
      ...(options.keepsEveryProfile ? { keepsEveryProfile: true } : {}),
      ...(settle ? { settle } : {}),
      ...(options.isDry ? { keep: async () => null } : {}),
    })
  if (!options.isDry) return warehouse.exclusive(() => take(() => bringUpToDate(warehouse)))
  let report: IngestReport | null = null
  const rehearse = async () => {
    report = await take()
    throw new DryRun()
  }
  await warehouse
    .exclusive(() => warehouse.transaction(rehearse))
    .catch((error) => {
      if (!(error instanceof DryRun)) throw error
    })
  return report!
}

/** One JSON document; without an indent on one line, for programs that read a stream of them. */
export function reportJson({ files, totals, problems }: IngestReport, indent = 0): string {
  return `${JSON.stringify({ files, totals, ...(problems.length > 0 ? { problems } : {}) }, null, indent)}\n`
}

/** One line per file and a total. */
export function reportText(report: IngestReport, cwd: string): string {
  const shown = (path: string) => {
    const short = relative(cwd, path)
    return short === '' || short.startsWith('..') ? path : short
  }
  const names = ['read', 'accepted', 'duplicate', 'superseded', 'quarantined'] as const
  const head = ['file', ...names]
  const rows = report.files.map((file) => [
    shown(file.path),
    ...names.map((name) => (file.profile === null ? '-' : file[name].toLocaleString('en-US'))),
  ])
  const total = ['total', ...names.map((name) => report.totals[name].toLocaleString('en-US'))]
  const widths = head.map((_, i) => Math.max(...[head, ...rows, total].map((row) => row[i]!.length)))
  const line = (row: readonly string[]) =>
    row
      .map((cell, i) => (i === 0 ? cell.padEnd(widths[i]!) : cell.padStart(widths[i]!)))
      .join('  ')
      .trimEnd()
  const notes = report.files.filter((file) => file.problem).map((file) => noteOf(file))
  return `${[line(head), ...rows.map(line), line(total), ...notes, ...report.problems].join('\n')}\n`
}

function noteOf(file: FileReport): string {
  return file.profile === null ? `not taken: ${file.problem}` : `note: ${file.problem}`
}
