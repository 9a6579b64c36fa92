type Numbers = Int32Array | Uint32Array | Float64Array | Uint8Array

/** A typed array that grows by doubling; what it has not been given is zero. */
export class Growing<T extends Numbers> {
  #values: T
  readonly #make: (length: number) => T

  constructor(make: (length: number) => T) {
    this.#make = make
    this.#values = make(2048)
  }

  /** Room for `length` values. */
  reserve(length: number): T {
    if (length > this.#values.length) {
      const larger = this.#make(Math.max(length, this.#values.length * 2))
      larger.set(this.#values as never)
      this.#values = larger
    }
    return this.#values
  }

  take(length: number): T {
    return this.reserve(length).subarray(0, length) as T
  }
}

/** Which values are there: one bit each, lowest bit first, as both the database and Arrow have it. */
export class Validity {
  readonly #bits = new Growing((length) => new Uint8Array(length))
  nullCount = 0
  #length = 0

  /** Takes the mask of the next `count` values; null says that all are there. */
  append(mask: Uint8Array | null, count: number): void {
    const from = this.#length
    this.#length += count
    const bits = this.#bits.reserve((this.#length + 7) >> 3)
    for (let row = 0; row < count; row++) {
      const at = from + row
      if (mask === null || (mask[row >> 3]! & (1 << (row & 7))) !== 0) bits[at >> 3]! |= 1 << (at & 7)
      else this.nullCount++
    }
  }

  /** Null when every value is there. */
  take(): Uint8Array | null {
    return this.nullCount === 0 ? null : this.#bits.take((this.#length + 7) >> 3)
  }
}
