import { isAscii, isUtf8 } from 'node:buffer'
import type { Encoding } from './profile.ts'

export interface Detected {
  encoding: Encoding
  /** True when nobody said so: neither a byte order mark nor the profile. */
  isGuess: boolean
}

/** Encoding of a text from its first bytes. A byte order mark wins, then what the profile declares, then the bytes. */
export function detectEncoding(head: Buffer, declared: Encoding | null): Detected {
  const mark = byteOrderMark(head)
  if (mark) return { encoding: mark, isGuess: false }
  const wide = wideOrder(head)
  if (declared === 'utf-16') return { encoding: wide ?? 'utf-16le', isGuess: false }
  if (declared && declared !== 'utf-8') return { encoding: declared, isGuess: false }
  if (wide) return { encoding: wide, isGuess: true }
  return {
    encoding: isMostlyUtf8(wholeCharacters(head)) ? 'utf-8' : 'windows-1252',
    isGuess: declared === null,
  }
}

/** True for proper utf-8, and for utf-8 with stray bytes: then some line beyond ASCII is proper. */
function isMostlyUtf8(head: Buffer): boolean {
  if (isUtf8(head)) return true
  for (let at = 0; at < head.length; ) {
    const feed = head.indexOf(10, at)
    const line = head.subarray(at, feed < 0 ? head.length : feed)
    if (!isAscii(line) && isUtf8(line)) return true
    at += line.length + 1
  }
  return false
}

function byteOrderMark(head: Buffer): Encoding | null {
  if (head[0] === 0xef && head[1] === 0xbb && head[2] === 0xbf) return 'utf-8'
  if (head[0] === 0xff && head[1] === 0xfe) return 'utf-16le'
  if (head[0] === 0xfe && head[1] === 0xff) return 'utf-16be'
  return null
}

/** Order of utf-16 without a mark: mostly Latin text has a zero byte in every other place. */
function wideOrder(head: Buffer): 'utf-16le' | 'utf-16be' | null {
  const pairs = Math.min(head.length >> 1, 1000)
  if (pairs < 4) return null
  let even = 0
  let odd = 0
  for (let pair = 0; pair < pairs; pair++) {
    if (head[2 * pair] === 0) even++
    if (head[2 * pair + 1] === 0) odd++
  }
  if (odd > 0.6 * pairs && even < 0.05 * pairs) return 'utf-16le'
  if (even > 0.6 * pairs && odd < 0.05 * pairs) return 'utf-16be'
  return null
}

/** Without the character that the cut through the file may have split. */
function wholeCharacters(head: Buffer): Buffer {
  for (let back = 1; back <= 4 && back <= head.length; back++) {
    const byte = head[head.length - back]!
    if (byte < 0x80) return head
    if (byte >= 0xc0) return head.subarray(0, head.length - back)
  }
  return head
}

/** Text of the first bytes of a file, without its byte order mark. */
export function decodeHead(head: Buffer, encoding: Encoding): string {
  return new TextDecoder(encoding).decode(encoding === 'utf-8' ? wholeCharacters(head) : head)
}

/** True for text that was written to be read: hardly a control character or a byte that is no character. */
export function isReadable(text: string): boolean {
  if (text.length === 0) return true
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters that text does not have
  const odd = text.match(/[\u0000-\u0008\u000e-\u001f\u007f\ufffd]/g)?.length ?? 0
  return odd / text.length < 0.02
}

/** The stream as utf-8 with LF or CRLF lines. `isCarriage`: lines end with CR alone, which becomes LF. */
export async function* utf8Bytes(
  chunks: AsyncIterable<Uint8Array>,
  encoding: Encoding,
  isCarriage: boolean,
): AsyncGenerator<Uint8Array, void> {
  const decoder = encoding === 'utf-8' ? null : new TextDecoder(encoding)
  for await (const chunk of chunks) {
    const bytes = decoder ? Buffer.from(decoder.decode(chunk, { stream: true }), 'utf8') : chunk
    if (bytes.length > 0) yield isCarriage ? withLineFeeds(bytes) : bytes
  }
  const rest = decoder?.decode()
  if (rest) yield Buffer.from(rest, 'utf8')
}

function withLineFeeds(bytes: Uint8Array): Uint8Array {
  const copy = Uint8Array.from(bytes)
  for (let i = copy.indexOf(13); i >= 0; i = copy.indexOf(13, i + 1)) copy[i] = 10
  return copy
}

/** True when a text's lines end with CR alone. */
export function endsLinesWithCarriage(text: string): boolean {
  return text.includes('\r') && !text.includes('\n')
}
