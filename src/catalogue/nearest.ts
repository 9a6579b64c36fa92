/**
 * The known name nearest to what was written, or null when none is near: at most a third of the letters differ
 * (Levenshtein distance, letter case ignored), or one name begins with the other.
 */
export function nearest(written: string, known: Iterable<string>): string | null {
  const text = written.toLowerCase()
  let best: string | null = null
  let bestDistance = Number.POSITIVE_INFINITY
  for (const name of known) {
    const other = name.toLowerCase()
    const starts = text.length >= 3 && (other.startsWith(text) || text.startsWith(other))
    const distance = starts ? 0.5 : editDistance(text, other)
    const allowed = Math.max(1, Math.floor(Math.max(text.length, other.length) / 3))
    if (distance <= allowed && distance < bestDistance) {
      best = name
      bestDistance = distance
    }
  }
  return best
}

/** Insertions, deletions and replacements that turn one text into the other. */
export function editDistance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, index) => index)
  for (let i = 1; i <= a.length; i++) {
    const next = [i]
    for (let j = 1; j <= b.length; j++) {
      const change = a[i - 1] === b[j - 1] ? 0 : 1
      next.push(Math.min(row[j]! + 1, next[j - 1]! + 1, row[j - 1]! + change))
    }
    row = next
  }
  return row[b.length]!
}
