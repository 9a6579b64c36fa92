import { existsSync } from 'node:fs'
import { parseArgs } from 'node:util'
import { databaseIn } from '../warehouse/folder.ts'
import { beginOpening } from '../warehouse/opening.ts'
import type { OuterEffects } from './effects.ts'
import { folderNamed, maybeServed } from './session-folder.ts'
import type { VerbName } from './verb-names.ts'

/** Verbs that need no warehouse. */
const without: ReadonlySet<VerbName> = new Set(['profile', 'completion'])

/**
 * Begins to open the warehouse that a command line means before the command itself is loaded: both take about as long,
 * and run side by side. Nothing happens where there is none, where a server holds it, or where nothing is asked.
 * @returns what closes it again where the command did not take it.
 */
export function openEarly(
  verb: VerbName,
  rest: readonly string[],
  effects: OuterEffects,
): () => Promise<void> {
  // What the command line means exactly is known once the command is loaded; a wrong guess here is closed again.
  const { values, positionals } = parseArgs({
    args: [...rest],
    strict: false,
    allowPositionals: true,
    options: { warehouse: { type: 'string' } },
  })
  const folder = folderNamed(typeof values.warehouse === 'string' ? values.warehouse : null, effects)
  const isAsked = !without.has(verb) && (verb !== 'query' || positionals.length > 0)
  const isFree = !effects.warehouse && existsSync(databaseIn(folder)) && !maybeServed(folder)
  return isAsked && isFree ? beginOpening(databaseIn(folder)) : async () => undefined
}
