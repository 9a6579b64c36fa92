/** Number of single-letter insertions, deletions, substitutions and swaps of neighbours between two texts (Damerau 1964, restricted form). */
export function editDistance(a: string, b: string): number {
  const rows = a.length + 1
  const columns = b.length + 1
  const table = new Uint16Array(rows * columns)
  for (let i = 0; i < rows; i++) table[i * columns] = i
  for (let j = 0; j < columns; j++) table[j] = j
  for (let i = 1; i < rows; i++) {
    for (let j = 1; j < columns; j++) {
      const here = i * columns + j
      const same = a[i - 1] === b[j - 1]
      let best = Math.min(
        table[here - columns]! + 1,
        table[here - 1]! + 1,
        table[here - columns - 1]! + (same ? 0 : 1),
      )
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        best = Math.min(best, table[here - 2 * columns - 2]! + 1)
      }
      table[here] = best
    }
  }
  return table[rows * columns - 1]!
}

export interface Suggestion {
  best: string
  /** 1 for the same name, 0 for nothing in common. */
  score: number
  /** True if it is close and no other candidate is nearly as close: it may be taken as meant. */
  clear: boolean
}

const clearScore = 0.8
const clearLead = 0.12

const fillers = new Set(['FIRE', 'INCIDENT', 'THE', 'COMPLEX', 'CX', 'WF', 'WILDFIRE'])

const words = (text: string): string[] =>
  text
    .toUpperCase()
    .normalize('NFD')
    .replace(/[\u0300-\u036f]/g, '')
    .match(/[A-Z0-9]+/g) ?? []

/** The best candidate for a misspelt name and whether it is clear; `null` without candidates. */
export function suggest(text: string, candidates: readonly string[]): Suggestion | null {
  let best: Suggestion | null = null
  let second = 0
  for (const candidate of new Set(candidates)) {
    const score = nameScore(text, candidate)
    if (best === null || score > best.score) {
      second = best?.score ?? 0
      best = { best: candidate, score, clear: false }
    } else if (score > second) second = score
  }
  if (best) best.clear = best.score >= clearScore && best.score - second >= clearLead
  return best
}

/** Likeness of two names, 0 to 1: spelling, whatever the order of words, short forms, and fillers such as 'Fire'. */
export function nameScore(a: string, b: string): number {
  const left = meaningful(words(a))
  const right = meaningful(words(b))
  if (left.length === 0 || right.length === 0) return 0
  const straight = ratio(left.join(''), right.join(''))
  const sorted = ratio([...left].sort().join(' '), [...right].sort().join(' '))
  return Math.max(straight, sorted * 0.98, short(left, right))
}

const meaningful = (list: string[]): string[] => {
  const kept = list.filter((word) => !fillers.has(word))
  return kept.length ? kept : list
}

const ratio = (a: string, b: string): number => 1 - editDistance(a, b) / Math.max(a.length, b.length)

/** Short forms: every word of the shorter name begins a word of the longer one, or is one with letters left out, in order. */
function short(a: string[], b: string[]): number {
  const [few, many] = a.join('').length <= b.join('').length ? [a, b] : [b, a]
  let at = 0
  for (const word of few) {
    while (at < many.length && !many[at]!.startsWith(word) && !isContraction(word, many[at]!)) at++
    if (at === many.length) return 0
    at++
  }
  return few.join('').length >= 3 ? 0.85 : 0
}

/** True for a word written without its inner vowels and whatever else was left out, as CYN for CANYON, PT for POINT. */
function isContraction(brief: string, word: string): boolean {
  if (!/^[A-Z][^AEIOU\d]*[A-Z]$/.test(brief) || brief[0] !== word[0] || brief.length >= word.length)
    return false
  let at = 0
  for (const letter of brief) {
    at = word.indexOf(letter, at) + 1
    if (at === 0) return false
  }
  return true
}
