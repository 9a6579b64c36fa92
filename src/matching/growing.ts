/** How a column holds its numbers. */
export const holds = { TINYINT: Int8Array, SMALLINT: Int16Array, INTEGER: Int32Array, DOUBLE: Float64Array }
export type Held = keyof typeof holds
export type Numbers = InstanceType<(typeof holds)[Held]>

/** Rows of numbers, one array per column: plain data, which one thread can hand to another. */
export interface Filled<Name extends string = string> {
  readonly types: Readonly<Record<Name, Held>>
  readonly columns: Readonly<Record<Name, Numbers>>
}

/** Rows of numbers that are added one by one and leave as typed arrays, one per column: by the hundred thousand without boxing. */
export class Growing<Name extends string> {
  /** What holds each column, as the database calls it. */
  readonly types: Readonly<Record<Name, Held>>
  #columns: Record<Name, Numbers>
  #room: number
  #count = 0

  /** @param room rows that there is room for from the start */
  constructor(types: Readonly<Record<Name, Held>>, room = 1024) {
    this.types = types
    this.#room = Math.max(1, room)
    this.#columns = this.#each((name) => new holds[types[name]](this.#room))
  }

  /** A row more: its number, counted from 0. Its columns are to be set before the next one is added. */
  add(): number {
    if (this.#count === this.#room) {
      const before = this.#columns
      this.#room *= 2
      this.#columns = this.#each((name) => {
        const column = new holds[this.types[name]](this.#room)
        column.set(before[name])
        return column
      })
    }
    return this.#count++
  }

  /** Where the rows stand until the next one is added. */
  get columns(): Readonly<Record<Name, Numbers>> {
    return this.#columns
  }

  get count(): number {
    return this.#count
  }

  /** The rows as they are now, one array per column. */
  values(): Record<Name, Numbers> {
    return this.#each((name) => this.#columns[name].subarray(0, this.#count))
  }

  filled(): Filled<Name> {
    return { types: this.types, columns: this.values() }
  }

  #each(column: (name: Name) => Numbers): Record<Name, Numbers> {
    const names = Object.keys(this.types) as Name[]
    return Object.fromEntries(names.map((name) => [name, column(name)])) as Record<Name, Numbers>
  }
}
