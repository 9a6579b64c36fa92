import { createHash } from 'node:crypto'
import type { ReceivedFile } from './deps.ts'
import { RequestRefused } from './problem.ts'

const keptAtMost = 1000

/**
 * A request with the same `Idempotency-Key` and the same content is answered again as before, and not done again.
 * Kept while the server runs; a repeat after that is harmless, since files that arrive twice change nothing.
 */
export class Idempotency {
  readonly #answers = new Map<string, { digest: string; answer: Promise<unknown> }>()

  /**
   * @param account whose key it is: two people may choose the same
   * @throws RequestRefused when the key was used for other content.
   */
  async once(
    key: string | undefined,
    account: string | undefined,
    files: readonly ReceivedFile[],
    work: () => Promise<unknown>,
  ): Promise<unknown> {
    if (!key) return work()
    if (key.length > 500)
      throw new RequestRefused('the Idempotency-Key is longer than 500 letters', 422, 'bad-key')
    const digest = digestOf(files)
    const name = `${account ?? ''}\n${key}`
    const known = this.#answers.get(name)
    if (known && known.digest !== digest) {
      throw new RequestRefused(
        `the Idempotency-Key ${key.slice(0, 60)} was used for other content; take a new one`,
        422,
        'key-reused',
      )
    }
    if (known) return known.answer
    const answer = work()
    this.#answers.set(name, { digest, answer })
    // What failed may be tried again.
    answer.catch(() => this.#answers.delete(name))
    if (this.#answers.size > keptAtMost) this.#answers.delete(this.#answers.keys().next().value!)
    return answer
  }
}

function digestOf(files: readonly ReceivedFile[]): string {
  const hash = createHash('sha256')
  for (const file of files) hash.update(`${file.name}\n${file.bytes.length}\n`).update(file.bytes)
  return hash.digest('hex')
}
