import { promisify } from 'node:util'
import { gzip } from 'node:zlib'

const compressed = promisify(gzip)

/** The bytes of an answer as they were made, and packed; `headers` stand in both. */
export interface KeptAnswer {
  readonly bytes: Uint8Array<ArrayBuffer>
  readonly packed: Uint8Array<ArrayBuffer> | null
  readonly headers: Readonly<Record<string, string>>
}
export type MadeAnswer = Pick<KeptAnswer, 'bytes' | 'headers'>

interface Making {
  readonly answer: Promise<KeptAnswer>
  readonly stop: AbortController
  waiting: number
}

const worthPacking = 1024
/** Fast rather than small: the first reader waits for it. */
const level = 3

/**
 * Answers by their entity tag, which changes with the records, the day and the statement: a kept one is never out of
 * date. Those asked longest ago go first when the room is full. Several who ask the same at once wait for one making;
 * it is stopped when all of them have left.
 */
export class KeptAnswers {
  readonly #room: number
  readonly #largest: number
  readonly #kept = new Map<string, KeptAnswer>()
  readonly #making = new Map<string, Making>()
  #size = 0

  constructor({ roomBytes = 128 * 2 ** 20, largestBytes = 32 * 2 ** 20 } = {}) {
    this.#room = roomBytes
    this.#largest = largestBytes
  }

  /** Bytes held. */
  get size(): number {
    return this.#size
  }

  async get(
    tag: string,
    signal: AbortSignal,
    make: (signal: AbortSignal) => Promise<MadeAnswer>,
  ): Promise<KeptAnswer> {
    const kept = this.#kept.get(tag)
    if (kept) {
      this.#kept.delete(tag)
      this.#kept.set(tag, kept)
      return kept
    }
    const making = this.#making.get(tag) ?? this.#begin(tag, make)
    const leave = (): void => {
      if (--making.waiting === 0) making.stop.abort()
    }
    making.waiting++
    signal.addEventListener('abort', leave, { once: true })
    return making.answer.finally(() => signal.removeEventListener('abort', leave))
  }

  #begin(tag: string, make: (signal: AbortSignal) => Promise<MadeAnswer>): Making {
    const stop = new AbortController()
    const answer = make(stop.signal)
      .then(pack)
      .then((made) => {
        this.#keep(tag, made)
        return made
      })
      .finally(() => this.#making.delete(tag))
    const making = { answer, stop, waiting: 0 }
    this.#making.set(tag, making)
    // Whoever comes after the last has left begins anew.
    stop.signal.addEventListener('abort', () => this.#making.delete(tag), { once: true })
    return making
  }

  #keep(tag: string, answer: KeptAnswer): void {
    const size = sizeOf(answer)
    if (size > this.#largest) return
    this.#kept.set(tag, answer)
    this.#size += size
    for (const [oldest, one] of this.#kept) {
      if (this.#size <= this.#room) break
      this.#kept.delete(oldest)
      this.#size -= sizeOf(one)
    }
  }
}

const sizeOf = (answer: KeptAnswer): number => answer.bytes.length + (answer.packed?.length ?? 0)

async function pack({ bytes, headers }: MadeAnswer): Promise<KeptAnswer> {
  const packed = bytes.length < worthPacking ? null : new Uint8Array(await compressed(bytes, { level }))
  return { bytes, packed, headers }
}

/** RFC 9110 §12.5.3: named, and not with a weight of 0. */
export function takesGzip(acceptEncoding: string | undefined): boolean {
  return (acceptEncoding ?? '')
    .split(',')
    .map((one) => one.trim().toLowerCase())
    .some((one) => /^gzip(\s*;|$)/.test(one) && !/;\s*q=0(\.0*)?$/.test(one))
}

/** The answer in the coding that the client takes. */
export function keptResponse(answer: KeptAnswer, acceptEncoding: string | undefined): Response {
  const isPacked = answer.packed !== null && takesGzip(acceptEncoding)
  return new Response(isPacked ? answer.packed : answer.bytes, {
    headers: {
      ...answer.headers,
      'Content-Length': String(isPacked ? answer.packed!.length : answer.bytes.length),
      ...(isPacked ? { 'Content-Encoding': 'gzip', ETag: `W/${answer.headers.ETag}` } : {}),
    },
  })
}
