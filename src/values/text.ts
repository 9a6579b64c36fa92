/**
 * Characters that stand for a space or for nothing in pasted and exported text: no-break, thin, figure and
 * ideographic spaces, zero-width characters, the byte order mark and the ASCII controls that separate words.
 * Written as a character class body that both JavaScript (`u` flag) and RE2 understand.
 */
export const spaceClass = String.raw`\t\n\r\f\x{b} \x{a0}\x{1680}\x{2000}-\x{200d}\x{2028}\x{2029}\x{202f}\x{205f}\x{2060}\x{3000}\x{feff}`

/** The same class for JavaScript, whose escapes differ. */
const spaces = /[\t\n\r\f\v \u00a0\u1680\u2000-\u200d\u2028\u2029\u202f\u205f\u2060\u3000\ufeff]+/g

/**
 * Whole cells that people write for "nothing known". A cell is taken as empty only if it is exactly one of
 * these, in any letter case; 0, `none`, `nil` and `unknown` are answers and stay.
 */
export const placeholders = ['-', '--', '---', '–', '—', 'n/a', 'na', '#n/a', 'null'] as const

const placeholderSet: ReadonlySet<string> = new Set(placeholders)

/** Text with odd spaces made plain and collapsed, trimmed; `null` if nothing or only a placeholder is left. */
export function tidy(text: string | null | undefined): string | null {
  if (text === null || text === undefined) return null
  const plain = text.replace(spaces, ' ').trim()
  return plain === '' || placeholderSet.has(plain.toLowerCase()) ? null : plain
}

/** True for a cell that holds nothing: missing, only spaces, or a placeholder. */
export function isBlank(text: string | null | undefined): boolean {
  return tidy(text) === null
}
