import { stat, writeFile } from 'node:fs/promises'
import { draftProfile, isProblem } from '../sources/index.ts'
import type { Command } from './command.ts'
import { CommandError, UsageError } from './effects.ts'
import { inFolder } from './session-folder.ts'

export const profileCommand: Command = {
  name: 'profile',
  summary: 'draft a profile for an unknown file',
  usage: 'draft FILE',
  options: { out: { type: 'string', value: 'FILE', about: 'write the draft to a file' } },
  examples: ['gallonage profile draft inbox/drop-sheet.csv --out profiles/drop-sheet.json'],
  isRelayed: false,
  async run(args, effects) {
    const [action, file] = args.positionals
    if (action !== 'draft' || !file) throw new UsageError('say draft, then the file')
    const path = inFolder(effects.cwd, file)
    const facts = await stat(path).catch(() => {
      throw new CommandError(`${file}: there is no such file; check the path`)
    })
    const draft = await draftProfile({ path, bytes: facts.size, modifiedAt: facts.mtime })
    if (isProblem(draft)) throw new CommandError(`${draft.path}: ${draft.what}; ${draft.fix}`)
    const out = args.text('out')
    if (out === null) effects.out(`${draft}\n`)
    else {
      await writeFile(inFolder(effects.cwd, out), `${draft}\n`)
      effects.err(
        `wrote ${out}: read its notes, correct it, then: gallonage ingest ${file} --profile ${out}\n`,
      )
    }
    return 0
  },
}
