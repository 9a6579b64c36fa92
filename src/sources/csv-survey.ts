import { isAscii, isUtf8 } from 'node:buffer'
import { lineBlocks, longestLine } from './line-blocks.ts'
import { HeaderAgain, PlainLines } from './plain-line.ts'

export interface Survey {
  /** True: every line behind the header is plain, has the header's number of cells and is not the header again. */
  isPlain: boolean
  /** Lines behind the header. Only meaningful when plain. */
  rowCount: number
  /** First line with bytes that are no utf-8; null when there is none. */
  badLine: number | null
  /** True when some line holds characters beyond ASCII as proper utf-8. */
  hasWideUtf8: boolean
}

/**
 * One pass over a whole file: can it be read as it stands, row k on line header + k, with no way to misread it?
 * Bytes are looked at once; no text is made. Reads on to the end in any case, so that a hash of the bytes is whole.
 */
export async function surveyCsv(
  chunks: AsyncIterable<Uint8Array>,
  layout: { delimiter: string; header: readonly string[]; skip: number },
): Promise<Survey> {
  const plain = new PlainLines(layout.delimiter)
  const again = new HeaderAgain(layout.header, layout.delimiter)
  const width = layout.header.length
  const survey: Survey = { isPlain: true, rowCount: 0, badLine: null, hasWideUtf8: false }
  let line = 0
  /** Empty lines are harmless at the end only. */
  let emptyLines = 0
  let crlf: boolean | null = null
  const agree = (isCrlf: boolean) => {
    crlf ??= isCrlf
    if (crlf !== isCrlf) survey.isPlain = false
  }
  for await (const { bytes, isTooLong } of lineBlocks(chunks)) {
    checkUtf8(bytes, isTooLong, line, survey)
    if (isTooLong) {
      if (line >= layout.skip) survey.isPlain = false
      line++
      continue
    }
    let at = 0
    while (line < layout.skip && at < bytes.length) {
      const feed = bytes.indexOf(10, at)
      const end = feed < 0 ? bytes.length : feed
      if (!canBeSkipped(plain, bytes, at, end)) survey.isPlain = false
      if (feed >= 0) agree(bytes[end - 1] === 13 && end > at)
      at = end + 1
      line++
    }
    if (!survey.isPlain) {
      if (survey.badLine === null) line += countLines(bytes, at)
      continue
    }
    while (at < bytes.length) {
      const end = plain.read(bytes, at)
      if (end < 0 && width > 1 && isEmpty(bytes, at)) {
        emptyLines++
        at = bytes.indexOf(10, at) + 1
        line++
        continue
      }
      if (
        emptyLines > 0 ||
        end < 0 ||
        plain.cells !== width ||
        end - at > longestLine ||
        again.matches(bytes, at, end)
      ) {
        survey.isPlain = false
        break
      }
      if (end < bytes.length) agree(plain.isCrlf)
      survey.rowCount++
      line++
      at = end + 1
    }
    if (!survey.isPlain) line += countLines(bytes, at)
  }
  if (survey.badLine !== null) survey.isPlain = false
  return survey
}

/** A reader that counts quotation marks must not trip over the lines before the rows. */
function canBeSkipped(plain: PlainLines, bytes: Buffer, start: number, end: number): boolean {
  const line = bytes.subarray(start, end)
  return plain.read(line, 0) === line.length || !(line.includes(34) || line.includes(0))
}

function isEmpty(bytes: Buffer, at: number): boolean {
  return bytes[at] === 10 || (bytes[at] === 13 && bytes[at + 1] === 10)
}

function countLines(bytes: Buffer, from: number): number {
  let count = 0
  for (let at = bytes.indexOf(10, from); at >= 0; at = bytes.indexOf(10, at + 1)) count++
  return count
}

function checkUtf8(bytes: Buffer, isTooLong: boolean, linesBefore: number, survey: Survey): void {
  if (isTooLong || isAscii(bytes)) return
  if (isUtf8(bytes)) {
    survey.hasWideUtf8 = true
    return
  }
  let line = linesBefore
  for (let at = 0; at < bytes.length; ) {
    const feed = bytes.indexOf(10, at)
    const end = feed < 0 ? bytes.length : feed
    const part = bytes.subarray(at, end)
    line++
    if (!isAscii(part)) {
      if (isUtf8(part)) survey.hasWideUtf8 = true
      else survey.badLine ??= line
    }
    at = end + 1
  }
}
