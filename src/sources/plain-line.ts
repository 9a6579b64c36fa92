const ordinary = 0
const delimit = 1
const feed = 2
const quote = 3
const carriage = 4
const forbidden = 5
const unseen = 6

/**
 * Reads lines of bytes without making texts of them. A line is plain when every CSV reader understands it in the
 * same way: cells are unquoted and without a quotation mark, or wholly quoted; no line break in a cell, no NUL, no
 * stray carriage return, at least one visible ASCII character.
 */
export class PlainLines {
  /** Cells of the line that `read` passed last. */
  cells = 0
  /** True when that line ended with CRLF. */
  isCrlf = false
  readonly #classes = new Uint8Array(256)

  constructor(delimiter: string) {
    const classes = this.#classes
    classes.fill(unseen, 0x80)
    classes[0] = forbidden
    for (const byte of [0x09, 0x0b, 0x0c, 0x20]) classes[byte] = unseen
    classes[10] = feed
    classes[13] = carriage
    classes[34] = quote
    classes[delimiter.charCodeAt(0)] = delimit
  }

  /** End of the plain line that starts at `start` (place of its LF, or the end of the bytes); -1 when it is not plain. */
  read(bytes: Uint8Array, start: number): number {
    const classes = this.#classes
    const length = bytes.length
    let cells = 1
    let seen = 0
    let isCrlf = false
    let at = start
    for (;;) {
      const from = at
      while (at < length && classes[bytes[at]!] === ordinary) at++
      seen |= at - from
      const kind = at < length ? classes[bytes[at]!] : feed
      if (kind === feed) break
      if (kind === delimit) cells++
      else if (kind === quote) {
        if (at > start && classes[bytes[at - 1]!] !== delimit) return -1
        const close = this.#closingQuote(bytes, at + 1)
        if (close < 0) return -1
        if (this.#hasVisible(bytes, at + 1, close)) seen = 1
        at = close
      } else if (kind === carriage) {
        if (at + 1 < length && bytes[at + 1] !== 10) return -1
        isCrlf = true
      } else if (kind === forbidden) return -1
      at++
    }
    if (seen === 0) return -1
    this.cells = cells
    this.isCrlf = isCrlf
    return at
  }

  /** Place of the quotation mark that closes a cell, when the cell ends with it; -1 when the line is not plain. */
  #closingQuote(bytes: Uint8Array, from: number): number {
    const classes = this.#classes
    const length = bytes.length
    for (let at = from; at < length; at++) {
      const kind = classes[bytes[at]!]
      if (kind === quote) {
        if (bytes[at + 1] === 34) at++
        else {
          const next = at + 1 < length ? classes[bytes[at + 1]!] : feed
          return next === delimit || next === feed || next === carriage ? at : -1
        }
      } else if (kind === feed || kind === carriage || kind === forbidden) return -1
    }
    return -1
  }

  #hasVisible(bytes: Uint8Array, from: number, to: number): boolean {
    for (let at = from; at < to; at++) if (this.#classes[bytes[at]!] === ordinary) return true
    return false
  }
}

/**
 * Tells lines that may be the header line again: equal to it but for spaces, quotation marks and the case of ASCII
 * letters. Most lines differ in their first letters, so this costs next to nothing.
 */
export class HeaderAgain {
  readonly #wanted: Buffer

  constructor(header: readonly string[], delimiter: string) {
    this.#wanted = Buffer.from(headerLineKey(header, delimiter), 'utf8')
  }

  matches(bytes: Uint8Array, start: number, end: number): boolean {
    const wanted = this.#wanted
    let next = 0
    for (let at = start; at < end; at++) {
      let byte = bytes[at]!
      if (byte === 32 || byte === 34 || byte === 13 || byte === 9) continue
      if (byte >= 65 && byte <= 90) byte += 32
      if (wanted[next] !== byte) return false
      next++
    }
    return next === wanted.length
  }
}

/** What is left of a header line when spaces, quotation marks and the case of ASCII letters do not count. */
export function headerLineKey(cells: readonly string[], delimiter: string): string {
  return cells
    .join(delimiter)
    .replace(/[ "\r\t]/g, '')
    .replace(/[A-Z]/g, (letter) => letter.toLowerCase())
}
