/** Tells whoever listens that the records have changed, with their new fingerprint. */
export class Changes {
  readonly #listeners = new Set<(fingerprint: string) => void>()
  #last: string | null = null

  /** Returns the way to stop listening. */
  listen(listener: (fingerprint: string) => void): () => void {
    this.#listeners.add(listener)
    return () => {
      this.#listeners.delete(listener)
    }
  }

  /** Says nothing when the fingerprint is the one told last. */
  tell(fingerprint: string): void {
    if (fingerprint === this.#last) return
    this.#last = fingerprint
    for (const listener of this.#listeners) listener(fingerprint)
  }
}
