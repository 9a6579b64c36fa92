import { createHash } from 'node:crypto'

/** A strong entity tag of whatever decides the bytes of an answer. */
export function entityTag(...parts: readonly unknown[]): string {
  return `"${createHash('sha256').update(JSON.stringify(parts)).digest('base64url').slice(0, 27)}"`
}

/** RFC 9110 §13.1.2: weak comparison against the list, or `*`. */
export function isKnown(ifNoneMatch: string | undefined, tag: string): boolean {
  if (!ifNoneMatch) return false
  if (ifNoneMatch.trim() === '*') return true
  const bare = (text: string): string => text.trim().replace(/^W\//, '')
  return ifNoneMatch.split(',').some((known) => bare(known) === bare(tag))
}

export function notModified(tag: string): Response {
  return new Response(null, {
    status: 304,
    headers: { ETag: tag, 'Cache-Control': 'private, no-cache', Vary: 'Accept' },
  })
}
