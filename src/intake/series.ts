/** Which files are of one series: each of them repeats or replaces rows of another. */
export class Series {
  readonly #before = new Map<number, number>()

  constructor(pairs: Iterable<readonly [number, number]> = []) {
    for (const [one, other] of pairs) this.join(one, other)
  }

  /** @returns the earliest file of the series that the file belongs to. */
  of(file: number): number {
    let first = file
    for (let before = this.#before.get(first); before !== undefined; before = this.#before.get(first))
      first = before
    if (first !== file) this.#before.set(file, first)
    return first
  }

  join(one: number, other: number): void {
    const [a, b] = [this.of(one), this.of(other)]
    if (a !== b) this.#before.set(Math.max(a, b), Math.min(a, b))
  }
}
