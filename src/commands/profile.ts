import { existsSync } from 'node:fs'
import { stat } from 'node:fs/promises'
import { dirname } from 'node:path'
import { cellOf, isKindName, keyOf, kindOf, kinds } from '../kinds/index.ts'
import { draftProfile, isProblem } from '../sources/index.ts'
import { suggest } from '../values/similarity.ts'
import type { Arguments } from './arguments.ts'
import type { Command } from './command.ts'
import { CommandError, type Effects, UsageError } from './effects.ts'
import { checkWritable, makeNamedFolder, writeNamed } from './named-file.ts'
import { inFolder } from './session-folder.ts'

export const profileCommand: Command = {
  name: 'profile',
  summary: 'draft a profile for an unknown file; show the columns of a record kind',
  usage: 'draft FILE | columns [KIND]',
  options: { out: { type: 'string', value: 'FILE', about: 'write the draft to a file' } },
  examples: [
    'gallonage profile draft inbox/drop-sheet.csv --out profiles/drop-sheet.json',
    'gallonage profile columns          # the record kinds',
    'gallonage profile columns drop',
  ],
  isRelayed: false,
  async run(args, effects) {
    const [action, named] = args.positionals
    if (action === 'columns') return columns(named ?? null, args, effects)
    if (action !== 'draft' || !named)
      throw new UsageError('say draft and a file, or columns and a record kind')
    return draft(named, args, effects)
  },
}

async function draft(file: string, args: Arguments, effects: Effects): Promise<number> {
  const path = inFolder(effects.cwd, file)
  const facts = await stat(path).catch(() => {
    throw new CommandError(`${file}: there is no such file; check the path`)
  })
  const text = await draftProfile({ path, bytes: facts.size, modifiedAt: facts.mtime })
  if (isProblem(text)) throw new CommandError(`${text.path}: ${text.what}; ${text.fix}`)
  const out = args.text('out')
  if (out === null) effects.out(`${text}\n`)
  else {
    const target = inFolder(effects.cwd, out)
    // `profiles/` beside the logs is what the guide asks for; folders above it must be there.
    if (existsSync(dirname(dirname(target)))) makeNamedFolder(dirname(target))
    checkWritable(target)
    await writeNamed(target, `${text}\n`)
    if (args.flag('json')) effects.out(`${JSON.stringify({ written: inFolder(effects.cwd, out) })}\n`)
    effects.err(`wrote ${out}: read its notes, correct it, then: gallonage ingest ${file} --profile ${out}\n`)
  }
  return 0
}

function columns(name: string | null, args: Arguments, effects: Effects): number {
  if (name === null) {
    const rows = kinds.map((kind) => ({ kind: kind.name, about: kind.about }))
    effects.out(
      args.flag('json') ? `${JSON.stringify(rows)}\n` : aligned(rows.map((row) => [row.kind, row.about])),
    )
    return 0
  }
  if (!isKindName(name)) {
    const nearest = suggest(
      name,
      kinds.map((kind) => kind.name),
    )
    const hint = nearest && nearest.score > 0.5 ? `; did you mean ${nearest.best}?` : ''
    throw new UsageError(`there is no record kind ${name}${hint} (gallonage profile columns lists them)`)
  }
  const kind = kindOf(name)
  const rows = kind.columns.map((column) => ({
    column: column.name,
    is_required: column.required,
    about: column.about,
    cell: cellOf(column),
  }))
  if (args.flag('json')) effects.out(`${JSON.stringify(rows)}\n`)
  else {
    const lines = rows.map((row) => [`${row.column}${row.is_required ? '*' : ''}`, row.about, row.cell])
    effects.out(`${kind.about} ${keyOf(kind)}\n\n${aligned(lines)}\n* required\n`)
  }
  return 0
}

function aligned(rows: readonly (readonly string[])[]): string {
  const widths = rows[0]!.map((_, index) => Math.max(...rows.map((row) => row[index]!.length)))
  return rows
    .map(
      (row) =>
        `${row
          .map((cell, index) => cell.padEnd(widths[index]!))
          .join('  ')
          .trimEnd()}\n`,
    )
    .join('')
}
