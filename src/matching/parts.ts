/** Aircraft of a run, by number, `from` to `to - 1`, and how many observations there are of them. */
export interface Part {
  readonly from: number
  readonly to: number
  readonly count: number
}

/** Aircraft cut into at most so many parts of about one size. @param counts observations of each aircraft */
export function partsOf(counts: readonly number[], most: number): Part[] {
  const parts: Part[] = []
  const least = counts.reduce((sum, count) => sum + count, 0) / most
  let from = 0
  let held = 0
  counts.forEach((count, number) => {
    held += count
    if (held < least && number < counts.length - 1) return
    parts.push({ from, to: number + 1, count: held })
    from = number + 1
    held = 0
  })
  return parts
}
