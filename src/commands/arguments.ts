import { parseArgs } from 'node:util'
import { suggest } from '../values/similarity.ts'
import { UsageError } from './effects.ts'

export interface OptionSpec {
  readonly type: 'string' | 'boolean'
  readonly multiple?: boolean
  /** What stands for the value in help: `DIR`. */
  readonly value?: string
  readonly about: string
}

export type OptionSpecs = Readonly<Record<string, OptionSpec>>

export const globalOptions: OptionSpecs = {
  warehouse: {
    type: 'string',
    value: 'DIR',
    about: 'folder of the warehouse (default ./warehouse, or GALLONAGE_WAREHOUSE)',
  },
  json: { type: 'boolean', about: 'one JSON document on standard output, nothing else there' },
  quiet: { type: 'boolean', about: 'no progress and no notes' },
  help: { type: 'boolean', about: 'how the command is used' },
}

export interface Arguments {
  readonly positionals: readonly string[]
  text(name: string): string | null
  all(name: string): readonly string[]
  flag(name: string): boolean
}

/** @throws UsageError with the nearest option for a mistyped one. */
export function readArguments(argv: readonly string[], options: OptionSpecs): Arguments {
  const specs: OptionSpecs = { ...globalOptions, ...options }
  try {
    const parsed = parseArgs({
      args: withNegatives(argv, specs),
      allowPositionals: true,
      strict: true,
      options: Object.fromEntries(
        Object.entries(specs).map(([name, spec]) => [
          name,
          { type: spec.type, multiple: spec.multiple ?? false },
        ]),
      ),
    })
    const values = parsed.values as Record<string, string | boolean | (string | boolean)[] | undefined>
    return {
      positionals: parsed.positionals,
      text: (name) => (typeof values[name] === 'string' ? (values[name] as string) : null),
      all: (name) => {
        const value = values[name]
        return Array.isArray(value) ? value.map(String) : typeof value === 'string' ? [value] : []
      },
      flag: (name) => values[name] === true,
    }
  } catch (error) {
    throw new UsageError(plainUsage(error, Object.keys(specs)))
  }
}

/** `--value -115.6` is a value and no option: the two words are joined. */
function withNegatives(argv: readonly string[], specs: OptionSpecs): string[] {
  const words: string[] = []
  for (const word of argv) {
    const before = words.at(-1) ?? ''
    const isValue =
      /^-[.\d]/.test(word) && before.startsWith('--') && specs[before.slice(2)]?.type === 'string'
    if (isValue) words[words.length - 1] = `${before}=${word}`
    else words.push(word)
  }
  return words
}

function plainUsage(error: unknown, names: readonly string[]): string {
  const text = error instanceof Error ? error.message : String(error)
  const unknown = /Unknown option '(--?[^']*)'/.exec(text)?.[1]
  if (!unknown) return text.split('. ')[0] ?? text
  const nearest = suggest(unknown.replace(/^-+/, ''), names)
  return `there is no option ${unknown}${nearest && nearest.score > 0.5 ? `; did you mean --${nearest.best}?` : ''}`
}

/** The options for every command may stand before its name as well: they are moved behind it. */
export function verbFirst(argv: readonly string[]): string[] {
  let place = 0
  while (place < argv.length) {
    const word = argv[place]!
    const [name, value] = word.slice(2).split('=', 2)
    if (!word.startsWith('--') || !Object.hasOwn(globalOptions, name!)) break
    place += globalOptions[name!]!.type === 'string' && value === undefined ? 2 : 1
  }
  return place < argv.length ? [argv[place]!, ...argv.slice(0, place), ...argv.slice(place + 1)] : [...argv]
}
