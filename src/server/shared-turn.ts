/**
 * One piece of work for all who ask for it at once. Whoever asks while it runs waits for the next run, which begins
 * after their asking: nobody is told of a state older than that.
 */
export function sharedTurn<T>(work: () => Promise<T>): () => Promise<T> {
  let running: Promise<T> | null = null
  let next: Promise<T> | null = null
  const begin = (): Promise<T> => {
    const turn = work().finally(() => {
      if (running === turn) running = null
    })
    running = turn
    return turn
  }
  return () => {
    if (running === null) return begin()
    next ??= running
      .catch(() => undefined)
      .then(() => {
        next = null
        return begin()
      })
    return next
  }
}
