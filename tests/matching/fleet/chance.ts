/** Repeatable chance: a 32-bit xorshift stream, one per topic, so that a change in one topic leaves the others as they were. */
export class Chance {
  #state: number

  constructor(seed: number, topic: string) {
    let hash = 0x811c9dc5 ^ seed
    for (const letter of `${topic}#${seed}`) hash = Math.imul(hash ^ letter.charCodeAt(0), 0x01000193)
    this.#state = hash | 1
    for (let i = 0; i < 12; i++) this.unit()
  }

  /** In [0, 1). */
  unit(): number {
    let x = this.#state
    x ^= x << 13
    x ^= x >>> 17
    x ^= x << 5
    this.#state = x
    return (x >>> 0) / 4294967296
  }

  between(low: number, high: number): number {
    return low + (high - low) * this.unit()
  }

  is(share: number): boolean {
    return this.unit() < share
  }

  of<T>(list: readonly T[]): T {
    return list[Math.floor(this.unit() * list.length)]!
  }

  /** Box and Muller. */
  normal(spread: number): number {
    const radius = Math.sqrt(-2 * Math.log(1 - this.unit()))
    return spread * radius * Math.cos(2 * Math.PI * this.unit())
  }

  /** Times between events of a Poisson stream. */
  wait(mean: number): number {
    return -mean * Math.log(1 - this.unit())
  }
}
