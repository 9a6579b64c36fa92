/** A seeded stream of numbers (mulberry32), so that a season is the same each time it is made. */
export class Chance {
  private state: number
  constructor(seed: number) {
    this.state = (seed * 2654435761) >>> 0
  }
  /** A number in [0, 1). */
  next(): number {
    this.state = (this.state + 0x6d2b79f5) >>> 0
    let t = this.state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
  between(low: number, high: number): number {
    return low + (high - low) * this.next()
  }
  int(low: number, high: number): number {
    return Math.floor(this.between(low, high + 1))
  }
  is(chance: number): boolean {
    return this.next() < chance
  }
  pick<T>(list: readonly T[]): T {
    const item = list[this.int(0, list.length - 1)]
    if (item === undefined) throw new RangeError('nothing to pick from')
    return item
  }
  /** A normal number (Box and Muller 1958). */
  normal(mean = 0, sd = 1): number {
    const u = 1 - this.next()
    return mean + sd * Math.sqrt(-2 * Math.log(u)) * Math.cos(2 * Math.PI * this.next())
  }
  shuffle<T>(list: readonly T[]): T[] {
    const out = [...list]
    for (let i = out.length - 1; i > 0; i--) {
      const j = this.int(0, i)
      ;[out[i], out[j]] = [out[j] as T, out[i] as T]
    }
    return out
  }
}
