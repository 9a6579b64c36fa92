type Numbers = Int32Array | Uint32Array | Float64Array | BigInt64Array | Uint8Array

/** A typed array that grows by doubling; `set` positions must rise without gaps larger than one doubling. */
export class Growing<T extends Numbers> {
  #values: T
  readonly #make: (length: number) => T

  constructor(make: (length: number) => T) {
    this.#make = make
    this.#values = make(2048)
  }

  /** Room for `length` values; the new ones are zero. */
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

/** Which values are there: one bit each, lowest bit first, as Arrow has it. */
export class Validity {
  readonly #bits = new Growing((length) => new Uint8Array(length))
  nullCount = 0

  mark(row: number, isValid: boolean): void {
    if (!isValid) {
      this.nullCount++
      this.#bits.reserve((row >> 3) + 1)
      return
    }
    const bits = this.#bits.reserve((row >> 3) + 1)
    bits[row >> 3] = bits[row >> 3]! | (1 << (row & 7))
  }

  /** Null when every value is there. */
  take(length: number): Uint8Array | null {
    return this.nullCount === 0 ? null : this.#bits.take((length + 7) >> 3)
  }
}
