/** Numbers that are appended one by one and leave as one typed array: rows by the hundred thousand without boxing. */
export class Growing {
  #values = new Float64Array(1024)
  #count = 0

  push(value: number): void {
    if (this.#count === this.#values.length) {
      const larger = new Float64Array(this.#count * 2)
      larger.set(this.#values)
      this.#values = larger
    }
    this.#values[this.#count++] = value
  }

  get count(): number {
    return this.#count
  }

  values(): Float64Array {
    return this.#values.subarray(0, this.#count)
  }
}
