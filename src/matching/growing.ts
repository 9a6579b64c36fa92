/** Rows of numbers that are added one by one and leave as typed arrays, one per column: by the hundred thousand without boxing. */
export class Growing<Name extends string> {
  #columns: Record<Name, Float64Array>
  #room = 1024
  #count = 0
  readonly #names: readonly Name[]

  constructor(names: readonly Name[]) {
    this.#names = names
    this.#columns = this.#made((column) => column)
  }

  /** A row more: its number, counted from 0. Its columns are to be set before the next one is added. */
  add(): number {
    if (this.#count === this.#room) {
      const before = this.#columns
      this.#room *= 2
      this.#columns = this.#made((column, name) => column.set(before[name]))
    }
    return this.#count++
  }

  /** Where the rows stand until the next one is added. */
  get columns(): Readonly<Record<Name, Float64Array>> {
    return this.#columns
  }

  get count(): number {
    return this.#count
  }

  /** The rows as they are now, one array per column. */
  values(): Record<Name, Float64Array> {
    const all = this.#columns
    return Object.fromEntries(
      this.#names.map((name) => [name, all[name].subarray(0, this.#count)]),
    ) as Record<Name, Float64Array>
  }

  #made(fill: (column: Float64Array, name: Name) => void): Record<Name, Float64Array> {
    return Object.fromEntries(
      this.#names.map((name) => {
        const column = new Float64Array(this.#room)
        fill(column, name)
        return [name, column]
      }),
    ) as Record<Name, Float64Array>
  }
}
