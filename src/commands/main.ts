import { readArguments, verbFirst } from './arguments.ts'
import { meant } from './choice.ts'
import type { Command } from './command.ts'
import { CommandError, type Effects, type OuterEffects, UsageError } from './effects.ts'
import { commandHelp, generalHelp } from './help.ts'
import { fileTrouble } from './named-file.ts'
import { type VerbName, verbNames } from './verb-names.ts'
import { verbs } from './verbs.ts'

/** Runs one command line. @returns the exit code: 0 done, 1 failed, 2 wrong usage, 3 `--strict` found something. */
export async function main(argv: readonly string[], outer: OuterEffects, version: string): Promise<number> {
  const effects: Effects = {
    ...outer,
    runLine: (line, theirs) => main(line, theirs, version),
    verb: (name) => verbs[name](),
    version,
  }
  const [verb, ...rest] = verbFirst(argv)
  if (verb === 'help' && rest[0] !== undefined && !rest[0].startsWith('-'))
    return main([rest[0], '--help'], outer, version)
  if (verb === undefined || verb === '--help' || verb === '-h' || verb === 'help')
    return say(effects, generalHelp(), verb === undefined ? 2 : 0)
  if (verb === '--version' || verb === '-V')
    return say(effects, rest.includes('--json') ? `${JSON.stringify({ version })}\n` : `${version}\n`, 0)
  if (!Object.hasOwn(verbNames, verb)) {
    const hint = verb.startsWith('-')
      ? '; the command comes first, then its options'
      : meant(verb, Object.keys(verbNames))
    effects.err(`gallonage: there is no command ${verb}${hint} (gallonage --help lists them)\n`)
    return 2
  }
  const name = verb as VerbName
  if (rest.includes('--help') || rest.includes('-h')) return say(effects, commandHelp(await verbs[name]()), 0)
  const { openEarly } = await import('./early.ts')
  const leave = openEarly(name, rest, effects)
  try {
    return await guarded(await verbs[name](), rest, effects)
  } finally {
    await leave()
  }
}

function say(effects: Effects, text: string, code: number): number {
  if (code === 0) effects.out(text)
  else effects.err(text)
  return code
}

async function guarded(command: Command, rest: readonly string[], effects: Effects): Promise<number> {
  try {
    const args = readArguments(rest, command.options)
    if (command.isRelayed !== false) {
      const { relayed } = await import('./relayed.ts')
      const code = await relayed([command.name, ...rest], args, effects)
      if (code !== null) return code
    }
    return await command.run(args, effects)
  } catch (error) {
    if (error instanceof UsageError) {
      effects.err(
        `gallonage ${command.name}: ${error.message}\n  usage: gallonage ${command.name} ${command.usage}\n`,
      )
      return 2
    }
    if (effects.env.GALLONAGE_DEBUG && error instanceof Error) effects.err(`${error.stack}\n`)
    effects.err(`gallonage ${command.name}: ${oneLine(error)}\n`)
    return 1
  }
}

/** What failed, as one line without a stack. */
function oneLine(error: unknown): string {
  if (error instanceof CommandError) return error.message
  const text = error instanceof Error ? error.message : String(error)
  const first = text.split('\n')[0] ?? text
  if (error instanceof Error && /^Warehouse/.test(error.name)) return first
  const trouble = fileTrouble(error)
  if (trouble) return trouble.message
  return `${first} (this should not happen: please keep the command and the files, and report it)`
}
