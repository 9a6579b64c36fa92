import { Growing } from './growing.ts'
import { type RawVector, textAt } from './raw-vector.ts'

/**
 * Gives each different text a number, in the order of their first coming. Short texts (12 bytes, which the database keeps
 * in place) are told apart by those bytes alone, without being made into JavaScript strings more than once.
 */
export class TextKeys {
  readonly texts: string[] = []
  readonly #long = new Map<string, number>()
  readonly #short = new Growing((length) => new Int32Array(length))
  #slots = new Int32Array(1024)
  #used = 0

  /** The key of every value, -1 where there is none. */
  read(vector: RawVector, keys: Int32Array, from: number): void {
    const bytes = vector.bytes(16)
    const words = new Int32Array(bytes.buffer, bytes.byteOffset, vector.count * 4)
    const validity = vector.validity()
    let last = -1
    let lastKey = -1
    for (let row = 0; row < vector.count; row++) {
      if (validity !== null && (validity[row >> 3]! & (1 << (row & 7))) === 0) {
        keys[from + row] = -1
        continue
      }
      if (last < 0 || !isSame(words, row, last)) {
        lastKey =
          words[row * 4]! <= 12
            ? this.#keyOfShort(bytes, words, row)
            : this.#keyOfLong(textAt(bytes, words, row))
        last = row
      }
      keys[from + row] = lastKey
    }
  }

  #keyOfLong(text: string): number {
    const known = this.#long.get(text)
    if (known !== undefined) return known
    const key = this.texts.push(text) - 1
    this.#long.set(text, key)
    return key
  }

  #keyOfShort(bytes: Uint8Array, words: Int32Array, row: number): number {
    if (this.#used * 2 >= this.#slots.length) this.#grow()
    const known = this.#short.reserve((this.texts.length + 1) * 4)
    let slot = hashOf(words, row) & (this.#slots.length - 1)
    for (let key = this.#slots[slot]! - 1; key >= 0; key = this.#slots[slot]! - 1) {
      if (
        known[key * 4] === words[row * 4] &&
        known[key * 4 + 1] === words[row * 4 + 1] &&
        known[key * 4 + 2] === words[row * 4 + 2] &&
        known[key * 4 + 3] === words[row * 4 + 3]
      ) {
        return key
      }
      slot = (slot + 1) & (this.#slots.length - 1)
    }
    const key = this.texts.push(textAt(bytes, words, row)) - 1
    for (let word = 0; word < 4; word++) known[key * 4 + word] = words[row * 4 + word]!
    this.#slots[slot] = key + 1
    this.#used++
    return key
  }

  #grow(): void {
    const old = this.#slots
    const known = this.#short.reserve(this.texts.length * 4)
    this.#slots = new Int32Array(old.length * 2)
    for (const entry of old) {
      if (entry === 0) continue
      let slot = hashOf(known, entry - 1) & (this.#slots.length - 1)
      while (this.#slots[slot] !== 0) slot = (slot + 1) & (this.#slots.length - 1)
      this.#slots[slot] = entry
    }
  }
}

/** The same length and bytes, or the same length and place. */
function isSame(words: Int32Array, row: number, other: number): boolean {
  for (let word = 0; word < 4; word++) if (words[row * 4 + word] !== words[other * 4 + word]) return false
  return true
}

function hashOf(words: Int32Array, row: number): number {
  let hash = Math.imul(words[row * 4]!, 0x9e3779b1)
  for (let word = 1; word < 4; word++) {
    hash = Math.imul(hash ^ words[row * 4 + word]!, 0x85ebca6b)
    hash ^= hash >>> 15
  }
  return hash
}
