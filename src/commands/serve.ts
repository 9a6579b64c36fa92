import { randomBytes } from 'node:crypto'
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import type { Catalogue } from '../catalogue/index.ts'
import { nearRecord, readEvidence } from '../evidence/index.ts'
import type { Amending } from '../intake/index.ts'
import type { ReportKind } from '../report/index.ts'
import { reportKinds } from '../report/kinds.ts'
import {
  Accounts,
  Changes,
  type CommandRunner,
  createApp,
  isLoopback,
  listen,
  RequestRefused,
  readServerInfo,
  removeServerInfo,
  writeServerInfo,
} from '../server/index.ts'
import { isZone } from '../values/zone.ts'
import { packageRoot, type Warehouse, WarehouseBusy } from '../warehouse/index.ts'
import { amend } from './amend-record.ts'
import type { Arguments } from './arguments.ts'
import { openCatalogue } from './catalogue.ts'
import type { Command } from './command.ts'
import { CommandError, type Effects, UsageError } from './effects.ts'
import { isEvidenceKind } from './evidence.ts'
import { reportJson, reportText, takeIn } from './ingest.ts'
import { progressBar } from './progress.ts'
import { takeReceived } from './received.ts'
import { fingerprintOf, inFolder, openWarehouse, warehouseFolder } from './session.ts'
import { statusOf } from './status.ts'
import { unknownSubjects } from './subjects.ts'

export const serveCommand: Command = {
  name: 'serve',
  summary: 'dashboards and API on this machine',
  usage: '[--host HOST] [--port PORT]',
  options: {
    host: {
      type: 'string',
      value: 'HOST',
      about: 'address to listen on (default 127.0.0.1); any other needs --accounts',
    },
    port: { type: 'string', value: 'PORT', about: 'port (default 8080; 0 takes any that is free)' },
    accounts: { type: 'string', value: 'FILE', about: 'who may come in, for hosts other than this machine' },
    queries: {
      type: 'string',
      multiple: true,
      value: 'DIR',
      about: 'a folder with questions of your own (.sql)',
    },
    'first-ingest': {
      type: 'string',
      value: 'PATH',
      about: 'take these logs in first if the warehouse is empty',
    },
  },
  examples: ['gallonage serve', 'gallonage serve --port 0 --warehouse season-2026'],
  isRelayed: false,
  async run(args, effects) {
    const host = args.text('host') ?? '127.0.0.1'
    const port = Number(args.text('port') ?? '8080')
    if (!Number.isInteger(port) || port < 0 || port > 65535)
      throw new UsageError(`--port ${args.text('port')} is no port number`)
    const accountsFile = args.text('accounts')
    const accounts = accountsFile === null ? null : await Accounts.read(inFolder(effects.cwd, accountsFile))
    if (!isLoopback(host) && accounts === null)
      throw new CommandError(
        `others could reach ${host}, so this needs accounts; give --accounts FILE, or serve on 127.0.0.1`,
      )
    const folder = warehouseFolder(args, effects)
    const warehouse = await openWarehouse(folder, effects).catch((error) => {
      const info = readServerInfo(folder)
      if (info === null || !(error instanceof WarehouseBusy)) throw error
      throw new CommandError(
        `${folder} is served already: open http://${info.host}:${info.port}/, or stop that server first`,
      )
    })
    try {
      await firstIngest(warehouse, args, effects)
      return await serve(
        {
          warehouse,
          folder,
          host,
          port,
          accounts,
          queries: args.all('queries').map((one) => inFolder(effects.cwd, one)),
          isJson: args.flag('json'),
        },
        effects,
      )
    } finally {
      await warehouse.close()
    }
  },
}

async function firstIngest(warehouse: Warehouse, args: Arguments, effects: Effects): Promise<void> {
  const path = args.text('first-ingest')
  if (path === null || Number(await warehouse.value('SELECT count(*) FROM raw.file')) > 0) return
  const bar = progressBar(effects, args.flag('quiet') || args.flag('json'))
  const report = await takeIn(warehouse, [inFolder(effects.cwd, path)], [], effects, { onProgress: bar.show })
  bar.clear()
  effects.out(args.flag('json') ? reportJson(report) : reportText(report, effects.cwd))
}

interface Serving {
  warehouse: Warehouse
  folder: string
  host: string
  port: number
  accounts: Accounts | null
  queries: string[]
  isJson: boolean
}

async function serve(serving: Serving, effects: Effects): Promise<number> {
  const { warehouse, folder, host, port, accounts } = serving
  const catalogue = openCatalogue(serving.queries)
  for (const problem of catalogue.problems) effects.err(`${problem.message}\n`)
  const reader = await warehouse.reader()
  const changes = new Changes()
  const token = randomBytes(24).toString('hex')
  const assets = join(packageRoot, 'dist', 'dashboards')
  const tell = async () => changes.tell(await fingerprintOf(reader))
  const app = createApp({
    catalogue,
    warehouse,
    fingerprint: () => fingerprintOf(reader),
    status: () => statusOf(reader),
    version: effects.version,
    evidence: async (kind, id) => (isEvidenceKind(kind) ? readEvidence(reader, kind, id) : null),
    nearRecord: (kind, id) => nearRecord(reader, kind, id),
    ingest: async (files) => {
      const report = await takeReceived(warehouse, files, effects)
      await tell()
      return report
    },
    amend: async ({ action, payload, reason, by }) => {
      const number = await amend(warehouse, { action, payload } as Amending, {
        reason,
        by,
        now: effects.now(),
      }).catch((error) => {
        if (error instanceof CommandError) throw new RequestRefused(error.message)
        throw error
      })
      await tell()
      return { amendment_no: number }
    },
    reports: {
      kinds: reportKinds,
      make: async (kind, format, given) => {
        const { units = 'us', zone = 'UTC', ...params } = given
        if (units !== 'us' && units !== 'metric')
          throw new RequestRefused(`units=${units.slice(0, 40)} is neither us nor metric`)
        if (!isZone(zone)) throw new RequestRefused(`zone=${zone.slice(0, 40)} is no IANA time zone`)
        const [unknown] = await unknownSubjects(warehouse, params)
        if (unknown) throw new RequestRefused(unknown)
        const { makeReport, PrintingFailed } = await import('../report/index.ts')
        const report = await makeReport(kind as ReportKind, {
          catalogue,
          warehouse,
          params,
          fingerprint: await fingerprintOf(reader),
          madeAt: effects.now(),
          version: effects.version,
          look: { units, zone },
        })
        if (format === 'html') return report.toHtml()
        if (format === 'xlsx') return report.toXlsx()
        return report.toPdf(effects.env).catch((error) => {
          if (error instanceof PrintingFailed)
            throw new RequestRefused(
              `${error.message}; or open the page and print it from there`,
              503,
              'no-printer',
            )
          throw error
        })
      },
    },
    commands: commandRunner(warehouse, effects),
    token,
    assetsFolder: existsSync(assets) ? assets : null,
    accounts,
    changes,
    log: (line) => effects.err(`${line}\n`),
  })
  const listening = await listen(app, { host, port, accounts }).catch(async (error) => {
    await catalogue.close()
    await reader.close()
    throw new CommandError(error instanceof Error ? error.message : String(error))
  })
  writeServerInfo(folder, { pid: process.pid, host, port: listening.port, token })
  effects.out(
    serving.isJson
      ? `${JSON.stringify({ warehouse: folder, address: listening.address })}\n`
      : `gallonage serves ${folder}\nopen ${listening.address}\n`,
  )
  const warmed = answerFirst(catalogue, warehouse)
  await effects.stopped
  await warmed
  removeServerInfo(folder)
  await listening.close()
  await catalogue.close()
  await reader.close()
  return 0
}

/** One question asked before anybody does: it wakes the database and what packs answers, which the first reader would wait for. */
async function answerFirst(catalogue: Catalogue, warehouse: Warehouse): Promise<void> {
  try {
    await (await catalogue.run(warehouse, 'gallons-by-fire')).toArrowFile()
  } catch {
    // Whoever asks the same will be told what is wrong.
  }
}

/** Runs command lines of other processes on the warehouse that this one holds. */
function commandRunner(warehouse: Warehouse, effects: Effects): CommandRunner {
  return async (request, sinks, signal) => {
    const stopped = new Promise<void>((resolve) =>
      signal.addEventListener('abort', () => resolve(), { once: true }),
    )
    const theirs: Effects = {
      out: sinks.out,
      err: sinks.err,
      outBytes: sinks.out,
      isTerminal: request.isTTY,
      columns: request.columns ?? 120,
      hasColor: request.hasColor ?? false,
      cwd: request.cwd,
      env: effects.env,
      now: effects.now,
      stopped,
      warehouse,
      runLine: effects.runLine,
      version: effects.version,
      verb: effects.verb,
    }
    return effects.runLine(request.argv, theirs)
  }
}
