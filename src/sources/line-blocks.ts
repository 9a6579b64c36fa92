/** Longer lines are no rows: they are refused one by one, so that memory stays bounded. */
export const longestLine = 1_000_000

const newline = 10
const shownBytes = 400

/** Whole lines, each with its line break but maybe the last; or one line that is too long, cut to its beginning. */
export interface LineBlock {
  bytes: Buffer
  isTooLong: boolean
}

/** Cuts a stream of bytes after its line breaks. A block is valid until the next one is asked for. */
export async function* lineBlocks(chunks: AsyncIterable<Uint8Array>): AsyncGenerator<LineBlock, void> {
  let carry: Buffer = Buffer.alloc(0)
  let skipping = false
  for await (const each of chunks) {
    let chunk = Buffer.from(each.buffer, each.byteOffset, each.byteLength)
    if (skipping) {
      const end = chunk.indexOf(newline)
      if (end < 0) continue
      skipping = false
      chunk = chunk.subarray(end + 1)
    }
    if (carry.length > 0) {
      const end = chunk.indexOf(newline)
      if (end >= 0 && carry.length + end <= longestLine) {
        yield { bytes: Buffer.concat([carry, chunk.subarray(0, end + 1)]), isTooLong: false }
        chunk = chunk.subarray(end + 1)
        carry = Buffer.alloc(0)
      } else if (end >= 0 || carry.length + chunk.length > longestLine) {
        yield { bytes: Buffer.concat([carry, chunk]).subarray(0, shownBytes), isTooLong: true }
        chunk = end < 0 ? chunk.subarray(chunk.length) : chunk.subarray(end + 1)
        skipping = end < 0
        carry = Buffer.alloc(0)
      } else {
        carry = Buffer.concat([carry, chunk])
        continue
      }
    }
    const last = chunk.lastIndexOf(newline) + 1
    if (last > 0) yield { bytes: chunk.subarray(0, last), isTooLong: false }
    if (chunk.length - last > longestLine) {
      yield { bytes: Buffer.from(chunk.subarray(last, last + shownBytes)), isTooLong: true }
      skipping = true
    } else carry = Buffer.from(chunk.subarray(last))
  }
  if (carry.length > 0) yield { bytes: carry, isTooLong: false }
}
