import { suggest } from '../values/similarity.ts'
import { UsageError } from './effects.ts'

/** `; did you mean drop?` for a mistyped word, or nothing. */
export function meant(word: string, choices: readonly string[]): string {
  const nearest = suggest(word, choices)
  return nearest && nearest.score > 0.5 ? `; did you mean ${nearest.best}?` : ''
}

/** The choice that was named. @param what with its article: `a report`. @throws UsageError with the nearest, or all of them. */
export function choose<T extends string>(
  what: string,
  word: string | undefined | null,
  choices: readonly T[],
): T {
  const known = choices.find((choice) => choice === word)
  if (known !== undefined) return known
  if (!word) throw new UsageError(`name ${what}: ${choices.join(', ')}`)
  const noun = what.replace(/^an? /, '')
  throw new UsageError(
    `there is no ${noun} ${word}${meant(word, choices) || `; it is one of ${choices.join(', ')}`}`,
  )
}

/** @throws UsageError when more was named than the command takes. */
export function atMost(count: number, positionals: readonly string[]): void {
  const [first] = positionals.slice(count)
  if (first !== undefined)
    throw new UsageError(`"${first}" is one word too many; quote a name that has spaces`)
}
