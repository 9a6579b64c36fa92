import { globalOptions, type OptionSpecs } from './arguments.ts'
import type { Command } from './command.ts'
import { verbNames } from './verb-names.ts'

export function generalHelp(): string {
  const width = Math.max(...Object.keys(verbNames).map((name) => name.length))
  const lines = Object.entries(verbNames).map(([name, summary]) => `  ${name.padEnd(width)}  ${summary}`)
  return `gallonage: what each airtanker tank did, with evidence

usage: gallonage COMMAND [options]

${lines.join('\n')}

options for every command:
${optionLines({ ...globalOptions, version: { type: 'boolean', about: 'the version' } })}

  gallonage COMMAND --help shows examples.
exit codes: 0 done, 1 it failed, 2 wrong usage, 3 --strict found something
`
}

export function commandHelp(command: Command): string {
  const own = Object.keys(command.options).length > 0 ? `\noptions:\n${optionLines(command.options)}\n` : ''
  return `gallonage ${command.name}: ${command.summary}

usage: gallonage ${command.name} ${command.usage}
${own}
options for every command:
${optionLines(globalOptions)}

examples:
${command.examples.map((example) => `  ${example}`).join('\n')}
`
}

function optionLines(options: OptionSpecs): string {
  const heads = Object.entries(options).map(
    ([name, spec]) => [`--${name}${spec.value ? ` ${spec.value}` : ''}`, spec.about] as const,
  )
  const width = Math.max(...heads.map(([head]) => head.length))
  return heads.map(([head, about]) => `  ${head.padEnd(width)}  ${about}`).join('\n')
}
