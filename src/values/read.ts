/** What a reader makes of a piece of text: a value, or the reason why there is none, in plain words. */
export type Read<T> = { ok: true; value: T } | { ok: false; reason: string }

/** A value that was read. */
export function good<T>(value: T): Read<T> {
  return { ok: true, value }
}

/** A text that could not be read, with the reason for a person to act on. */
export function bad<T = never>(reason: string): Read<T> {
  return { ok: false, reason }
}
