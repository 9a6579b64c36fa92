/** From so many single numbers on, looking them up is quicker than asking for each. */
const manyNumbers = 16

/**
 * Some files, as SQL conditions on `file_no`. Where their numbers follow one another the database is told the ends
 * alone; where they do not, the ends too: it then passes over the rows of files before and after without looking.
 */
export class FileList {
  readonly numbers: readonly number[]
  /** The row is of one of these files. */
  readonly own: string
  /** The row is of none of them. */
  readonly others: string

  /** @param numbers in any order; at least one. */
  constructor(numbers: Iterable<number>) {
    this.numbers = [...new Set(numbers)].sort((a, b) => a - b)
    const [first, last] = [this.numbers[0]!, this.numbers.at(-1)!]
    const within = `file_no BETWEEN ${first} AND ${last}`
    const list = this.numbers.join(', ')
    const single =
      this.numbers.length < manyNumbers ? `list_contains([${list}], file_no)` : `file_no IN (${list})`
    this.own = last - first + 1 === this.numbers.length ? within : `${within} AND ${single}`
    this.others = `NOT (${this.own})`
  }
}
