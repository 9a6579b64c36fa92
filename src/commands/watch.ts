import { watch } from 'node:fs'
import { stat } from 'node:fs/promises'
import { join } from 'node:path'
import type { Command } from './command.ts'
import { CommandError, UsageError } from './effects.ts'
import { reportJson, reportText, takeIn } from './ingest.ts'
import { inFolder, withWarehouse } from './session.ts'

/** A file is taken when it has not grown for this long. */
const restMs = 750

export const watchCommand: Command = {
  name: 'watch',
  summary: 'take whatever appears or grows in a folder',
  usage: 'FOLDER',
  options: {
    profile: {
      type: 'string',
      multiple: true,
      value: 'FILE',
      about: 'a profile for files with other headers; may be repeated',
    },
  },
  examples: ['gallonage watch inbox/'],
  async run(args, effects) {
    const [name] = args.positionals
    if (!name) throw new UsageError('name a folder')
    const folder = inFolder(effects.cwd, name)
    if (!(await stat(folder).catch(() => null))?.isDirectory())
      throw new CommandError(`${name} is no folder; check the path`)
    const profiles = args.all('profile').map((path) => inFolder(effects.cwd, path))
    return withWarehouse(
      args,
      effects,
      async (warehouse) => {
        const take = async (paths: readonly string[]) => {
          const report = await takeIn(warehouse, paths, [...profiles, ...(await profilesIn(folder))], effects)
          if (report.files.length === 0 && report.problems.length === 0) return
          effects.out(args.flag('json') ? reportJson(report) : reportText(report, effects.cwd))
        }
        await take([folder])
        if (!args.flag('quiet')) effects.err(`watching ${name}; Ctrl-C stops\n`)
        const changed = new Map<string, number>()
        const watcher = watch(folder, { recursive: true }, (_event, file) => {
          if (file) changed.set(join(folder, file.toString()), Date.now())
        })
        const timer = setInterval(async () => {
          const ready = [...changed].filter(([, at]) => Date.now() - at >= restMs).map(([path]) => path)
          for (const path of ready) changed.delete(path)
          const there = (
            await Promise.all(
              ready.map(async (path) => ((await stat(path).catch(() => null))?.isFile() ? path : null)),
            )
          ).filter((path) => path !== null)
          // A new profile may fit what lay here unread: everything is looked at again.
          const isProfile =
            there.length > 0 && (await profilesIn(folder)).some((path) => there.includes(path))
          if (there.length > 0)
            await take(isProfile ? [folder] : there).catch((error) =>
              effects.err(`${error instanceof Error ? error.message : String(error)}\n`),
            )
        }, 250)
        await effects.stopped
        clearInterval(timer)
        watcher.close()
        return 0
      },
      { mayMake: true },
    )
  },
}

async function profilesIn(folder: string): Promise<string[]> {
  const { discover } = await import('../sources/index.ts')
  return (await discover([folder])).profileFiles
}
