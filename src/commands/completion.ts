import type { Command } from './command.ts'
import { UsageError } from './effects.ts'
import { verbNames } from './verb-names.ts'

const scripts: Readonly<Record<string, (words: string) => string>> = {
  bash: (words) => `complete -W "${words}" gallonage\n`,
  zsh: (words) => `#compdef gallonage\n_arguments '1: :(${words})' '*:file:_files'\n`,
  fish: (words) => `complete -c gallonage -n __fish_use_subcommand -f -a "${words}"\n`,
}

export const completionCommand: Command = {
  name: 'completion',
  summary: 'shell completion for bash, zsh or fish',
  usage: 'bash|zsh|fish',
  options: {},
  examples: [
    'source <(gallonage completion bash)',
    'gallonage completion fish > ~/.config/fish/completions/gallonage.fish',
  ],
  isRelayed: false,
  async run(args, effects) {
    const script = scripts[args.positionals[0] ?? '']
    if (!script) throw new UsageError('name bash, zsh or fish')
    effects.out(script(Object.keys(verbNames).join(' ')))
    return 0
  },
}
