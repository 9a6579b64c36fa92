import { tidy } from '../values/index.ts'

/** A header as people compare it: odd spaces made plain, one space between words, no byte order mark. */
export function tidyHeader(text: string): string {
  return tidy(text) ?? ''
}

/** Headers are the same when these are: letter case does not matter. */
export function headerKey(text: string): string {
  return tidyHeader(text).toLowerCase()
}

/** Place of a header in a file's header line, -1 if it is not there. */
export function findHeader(header: readonly string[], name: string): number {
  const key = headerKey(name)
  return header.findIndex((cell) => headerKey(cell) === key)
}

/** Names of `wanted` that stand more than once in `header`. */
export function repeatedHeaders(header: readonly string[], wanted: Iterable<string>): string[] {
  const counts = new Map<string, number>()
  for (const cell of header) counts.set(headerKey(cell), (counts.get(headerKey(cell)) ?? 0) + 1)
  return [...new Set(wanted)].filter((name) => (counts.get(headerKey(name)) ?? 0) > 1)
}

/** Number of columns up to the last one that has a name. */
export function namedWidth(header: readonly string[]): number {
  let width = header.length
  while (width > 0 && header[width - 1] === '') width--
  return width
}
