import { placeholders, spaceClass } from '../text.ts'
import { once, oneOf, quote } from './write.ts'

const escaped = (text: string): string => text.replace(/[.*+?^${}()|[\]\\/]/g, '\\$&')

/** Any of the characters that count as a space, as a class of an RE2 pattern. */
export const anySpace = `[${spaceClass}]`

/** What makes a cell untidy: an odd space, a doubled or outer one, nothing at all, or a placeholder. */
const untidy = `[${spaceClass.replace(' ', '')}]|  |^ | $|^(?i:${placeholders.map(escaped).join('|')})?$`

export const textMacros = [
  `CREATE OR REPLACE MACRO val.plain_text(x) AS trim(regexp_replace(x, ${quote(`${anySpace}+`)}, ' ', 'g'))`,
  // Most cells are tidy: one scan decides, and only the others are rewritten.
  `CREATE OR REPLACE MACRO val.tidy(x) AS CASE WHEN regexp_matches(x, ${quote(untidy)})
    THEN ${once('val.plain_text(x)', 'p', `CASE WHEN ${oneOf('lower(p)', ['', ...placeholders])} THEN NULL ELSE p END`)}
    ELSE x END`,
]
