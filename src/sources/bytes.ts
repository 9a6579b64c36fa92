import type { Hash } from 'node:crypto'
import { open } from 'node:fs/promises'
import { Readable } from 'node:stream'
import { createGunzip } from 'node:zlib'
import { problem, SourceTrouble } from './problem.ts'

const chunkBytes = 4 * 1024 * 1024

/** True for bytes that begin as a gzip stream does, whatever the file is called. */
export function isGzip(head: Uint8Array): boolean {
  return head.length >= 3 && head[0] === 0x1f && head[1] === 0x8b && head[2] === 8
}

/** The bytes of a file as they stand, in chunks that are valid until the next one is asked for. */
export async function* fileBytes(
  path: string,
  hash?: Hash,
  chunk: number = chunkBytes,
): AsyncGenerator<Uint8Array, void> {
  const handle = await open(path, 'r')
  try {
    const buffer = Buffer.allocUnsafe(chunk)
    for (;;) {
      const { bytesRead } = await handle.read(buffer, 0, chunk, null)
      if (bytesRead === 0) return
      const bytes = buffer.subarray(0, bytesRead)
      hash?.update(bytes)
      yield bytes
    }
  } finally {
    await handle.close()
  }
}

/**
 * The content of a file: gunzipped if it is gzip. `hash` takes the bytes as sent.
 * @throws SourceTrouble when the gzip stream is broken: nothing of it can be trusted to be all.
 */
export async function* contentBytes(
  path: string,
  gzip: boolean,
  hash?: Hash,
): AsyncGenerator<Uint8Array, void> {
  if (!gzip) {
    yield* fileBytes(path, hash)
    return
  }
  const copies = async function* () {
    for await (const chunk of fileBytes(path, hash)) yield Buffer.from(chunk)
  }
  const source = Readable.from(copies(), { objectMode: false, highWaterMark: chunkBytes })
  const gunzip = createGunzip({ chunkSize: 1024 * 1024 })
  source.on('error', (error) => gunzip.destroy(error))
  source.pipe(gunzip)
  try {
    for await (const chunk of gunzip) yield chunk as Uint8Array
  } catch (error) {
    throw gzipTrouble(path, error as NodeJS.ErrnoException)
  } finally {
    source.destroy()
    gunzip.destroy()
  }
}

function gzipTrouble(path: string, error: NodeJS.ErrnoException): Error {
  if (!error.code?.startsWith('Z_')) return error
  const what =
    error.code === 'Z_BUF_ERROR'
      ? 'the gzip file ends too early: part of it is missing'
      : 'the gzip file is damaged'
  return new SourceTrouble(problem(path, what, 'send the file again, whole; nothing of it was read'))
}

/** The first bytes of a file's content, up to `most`; a gzip file may break later than that unnoticed. */
export async function contentHead(
  path: string,
  most: number,
): Promise<{ head: Buffer; gzip: boolean; all: boolean }> {
  const magic = await firstBytes(fileBytes(path, undefined, 4), 4)
  const gzip = isGzip(magic)
  const bytes = gzip ? contentBytes(path, true) : fileBytes(path, undefined, Math.min(chunkBytes, most + 1))
  const head = await firstBytes(bytes, most + 1)
  return { head: head.subarray(0, most), gzip, all: head.length <= most }
}

async function firstBytes(chunks: AsyncIterable<Uint8Array>, most: number): Promise<Buffer> {
  const parts: Buffer[] = []
  let length = 0
  for await (const chunk of chunks) {
    parts.push(Buffer.from(chunk))
    length += chunk.length
    if (length >= most) break
  }
  return Buffer.concat(parts).subarray(0, most)
}
