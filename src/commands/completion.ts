import { evidenceKinds } from '../evidence/index.ts'
import { reportKinds } from '../report/kinds.ts'
import { globalOptions } from './arguments.ts'
import { openCatalogue } from './catalogue.ts'
import { choose } from './choice.ts'
import type { Command } from './command.ts'
import { amendments } from './corrections.ts'
import type { Effects } from './effects.ts'
import { formats } from './query.ts'
import { type VerbName, verbNames } from './verb-names.ts'

/** What can follow each verb: words in the first place, and options (those that want a value with `true`). */
interface VerbWords {
  verb: string
  about: string
  words: readonly string[]
  options: readonly { name: string; about: string; takesValue: boolean }[]
}

/** Values of options that are a short list, whatever the verb. */
const valueLists: Readonly<Record<string, readonly string[]>> = {
  format: [...formats, 'geojson'],
  units: ['us', 'metric'],
}

const scripts = { bash, zsh, fish } as const

export const completionCommand: Command = {
  name: 'completion',
  summary: 'shell completion for bash, zsh or fish',
  usage: 'bash|zsh|fish',
  options: {},
  examples: [
    'source <(gallonage completion bash)',
    'gallonage completion zsh > "$' + '{fpath[1]}/_gallonage"',
    'gallonage completion fish > ~/.config/fish/completions/gallonage.fish',
  ],
  isRelayed: false,
  async run(args, effects) {
    const shell = choose('a shell', args.positionals[0], Object.keys(scripts) as (keyof typeof scripts)[])
    const script = scripts[shell](await everyVerb(effects))
    effects.out(args.flag('json') ? `${JSON.stringify({ shell, script })}\n` : script)
    return 0
  },
}

async function everyVerb(effects: Effects): Promise<VerbWords[]> {
  const firstWords: Partial<Record<VerbName, readonly string[]>> = {
    query: openCatalogue()
      .list()
      .map((question) => question.name),
    report: reportKinds,
    evidence: evidenceKinds,
    amend: [...amendments, 'list'],
    alias: ['aircraft', 'tank', 'base', 'fire'],
    profile: ['draft', 'columns'],
    setting: ['home-zone'],
    completion: Object.keys(scripts),
  }
  return Promise.all(
    (Object.keys(verbNames) as VerbName[]).map(async (verb) => {
      const command = await effects.verb(verb)
      return {
        verb,
        about: command.summary,
        words: firstWords[verb] ?? [],
        options: Object.entries({ ...command.options, ...globalOptions }).map(([name, spec]) => ({
          name,
          about: spec.about,
          takesValue: spec.type === 'string',
        })),
      }
    }),
  )
}

function bash(all: readonly VerbWords[]): string {
  const cases = all.map(
    ({ verb, words, options }) =>
      `    ${verb}) words="${words.join(' ')}"; options="${options.map((one) => `--${one.name}`).join(' ')}" ;;`,
  )
  const values = Object.entries(valueLists).map(
    ([option, list]) =>
      `    --${option}) COMPREPLY=($(compgen -W "${list.join(' ')}" -- "$current")); return ;;`,
  )
  return `_gallonage() {
  local current="\${COMP_WORDS[COMP_CWORD]}" words="" options=""
  COMPREPLY=()
  if [ "$COMP_CWORD" -eq 1 ]; then
    COMPREPLY=($(compgen -W "${all.map((one) => one.verb).join(' ')} help --help --version" -- "$current"))
    return
  fi
  case "\${COMP_WORDS[COMP_CWORD-1]}" in
${values.join('\n')}
  esac
  case "\${COMP_WORDS[1]}" in
${cases.join('\n')}
  esac
  if [[ "$current" == -* ]]; then COMPREPLY=($(compgen -W "$options" -- "$current"))
  elif [ "$COMP_CWORD" -eq 2 ] && [ -n "$words" ]; then COMPREPLY=($(compgen -W "$words" -- "$current"))
  fi
}
complete -o default -F _gallonage gallonage
`
}

/** Text inside single quotes of a shell. */
const quoted = (text: string): string => `'${text.replaceAll("'", "'\\''")}'`

function zsh(all: readonly VerbWords[]): string {
  const plain = (text: string): string => text.replace(/[[\]:\\]/g, '\\$&')
  const cases = all.map(({ verb, words, options }) => {
    const specs = options.map(({ name, about, takesValue }) => {
      const values = valueLists[name]
      const value = values ? `(${values.join(' ')})` : '_files'
      return quoted(`--${name}[${plain(about)}]${takesValue ? `:${name}:${value}` : ''}`)
    })
    const first = words.length > 0 ? `'1:what:(${words.join(' ')})' ` : ''
    return `      ${verb}) _arguments ${first}${specs.join(' ')} '*:file:_files' ;;`
  })
  return `#compdef gallonage
_gallonage() {
  local -a verbs
  verbs=(${all.map(({ verb, about }) => quoted(`${verb}:${plain(about)}`)).join(' ')})
  if (( CURRENT == 2 )); then
    _describe 'command' verbs
  else
    shift words; (( CURRENT-- ))
    case "$words[1]" in
${cases.join('\n')}
    esac
  fi
}
if [ "$funcstack[1]" = "_gallonage" ]; then _gallonage "$@"; else compdef _gallonage gallonage; fi
`
}

function fish(all: readonly VerbWords[]): string {
  const lines = all.flatMap(({ verb, about, words, options }) => {
    const after = `-n '__fish_seen_subcommand_from ${verb}'`
    return [
      `complete -c gallonage -n __fish_use_subcommand -f -a ${verb} -d ${quoted(about)}`,
      ...(words.length > 0 ? [`complete -c gallonage ${after} -f -a ${quoted(words.join(' '))}`] : []),
      ...options.map(({ name, about: what, takesValue }) => {
        const values = valueLists[name]
        const value = values ? ` -x -a ${quoted(values.join(' '))}` : takesValue ? ' -r' : ''
        return `complete -c gallonage ${after} -l ${name}${value} -d ${quoted(what)}`
      }),
    ]
  })
  return `${lines.join('\n')}\n`
}
