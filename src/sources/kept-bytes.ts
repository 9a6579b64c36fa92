import { isUtf8 } from 'node:buffer'
import { createHash, randomUUID } from 'node:crypto'
import { createReadStream, createWriteStream } from 'node:fs'
import { access, mkdir, rename, rm } from 'node:fs/promises'
import { join } from 'node:path'
import type { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { createGunzip, createGzip } from 'node:zlib'
import { contentBytes, contentHead } from './bytes.ts'
import { decodeHead, detectEncoding, endsLinesWithCarriage, utf8Bytes } from './encoding.ts'
import type { FoundFile } from './found-file.ts'
import { lineBlocks } from './line-blocks.ts'
import { isProblem, orProblem, problem, type SourceProblem, SourceTrouble } from './problem.ts'
import type { Encoding } from './profile.ts'
import { isZip, readSheets } from './workbook.ts'

/** Compressed by us, or kept as sent because it came compressed. */
const names = (folder: string, sha256: string) => ({
  packed: join(folder, `${sha256}.gz`),
  asSent: join(folder, `${sha256}.sent.gz`),
})

/**
 * Keeps the bytes of a file for ever, under their hash: gzip at level 1, or as they are if they came as gzip. What is
 * there already stays untouched; a copy that breaks off leaves nothing behind.
 * @returns null, or what came in between: the file went away, or changed since it was read.
 */
export async function keepBytes(
  file: FoundFile,
  sha256: string,
  folder: string,
): Promise<SourceProblem | null> {
  if ((await keptPath(folder, sha256)) !== null) return null
  await mkdir(folder, { recursive: true })
  const head = await orProblem(file.path, () => contentHead(file.path, 4))
  if (isProblem(head)) return notKept(file.path)
  try {
    await copyBytes(file.path, sha256, folder, head.gzip)
    return null
  } catch (error) {
    if (error instanceof SourceTrouble) return error.problem
    throw error
  }
}

function notKept(path: string): SourceProblem {
  const what = 'the file changed or went away before its bytes were kept; its rows stand'
  return problem(path, what, 'send it again, so that evidence can show its lines as they stood')
}

async function copyBytes(path: string, sha256: string, folder: string, gzip: boolean): Promise<void> {
  const { packed, asSent } = names(folder, sha256)
  const scratch = join(folder, `.${randomUUID()}.part`)
  try {
    const hash = createHash('sha256')
    const source = async function* () {
      for await (const chunk of createReadStream(path, { highWaterMark: 1024 * 1024 })) {
        hash.update(chunk)
        yield chunk
      }
    }
    const target = createWriteStream(scratch)
    if (gzip) await pipeline(source, target)
    else await pipeline(source, createGzip({ level: 1, chunkSize: 262_144 }), target)
    if (hash.digest('hex') !== sha256) throw new SourceTrouble(notKept(path))
    await rename(scratch, gzip ? asSent : packed)
  } finally {
    await rm(scratch, { force: true })
  }
}

async function keptPath(folder: string, sha256: string): Promise<{ path: string; isAsSent: boolean } | null> {
  const { packed, asSent } = names(folder, sha256)
  for (const path of [packed, asSent]) {
    if (
      await access(path).then(
        () => true,
        () => false,
      )
    )
      return { path, isAsSent: path === asSent }
  }
  return null
}

/** True when the bytes of this hash are kept in the folder. */
export async function isKept(folder: string, sha256: string): Promise<boolean> {
  return (await keptPath(folder, sha256)) !== null
}

/** The bytes as they were sent. @throws Error when none are kept under this hash */
export async function readKept(folder: string, sha256: string): Promise<Readable> {
  const kept = await keptPath(folder, sha256)
  if (kept === null) throw new Error(`no bytes are kept under ${sha256}`)
  const source = createReadStream(kept.path)
  if (kept.isAsSent) return source
  const content = createGunzip()
  source.on('error', (error) => content.destroy(error))
  return source.pipe(content)
}

/** Writes kept bytes to a path, as they were sent, so that they can be prepared again. */
export async function restoreKept(folder: string, sha256: string, path: string): Promise<void> {
  await pipeline(await readKept(folder, sha256), createWriteStream(path))
}

/** How a file was read: what its profile says of its encoding, and the cells that came of the line. */
export interface ReadAs {
  readonly encoding?: Encoding | null
  readonly cells?: readonly (string | null)[]
}

/**
 * A line of a kept file as it stood: its text without the line break; of a workbook, the cells of the sheet row with
 * tabs between, from the sheet whose row holds the cells that were read. Null when the file is not kept or has no such line.
 */
export async function rawLineAt(
  folder: string,
  sha256: string,
  line: number,
  read: ReadAs = {},
): Promise<string | null> {
  const kept = await keptPath(folder, sha256)
  if (kept === null || line < 1) return null
  const { head } = await contentHead(kept.path, 65_536)
  if (isZip(head)) {
    const sheets = await readSheets(kept.path, kept.path)
    const rows = sheets.map((sheet) => sheet.rows[line - 1] ?? [])
    const isRead = (row: readonly string[]) => read.cells?.every((text, i) => (text ?? '') === (row[i] ?? ''))
    const row = rows.find(isRead) ?? rows[0]
    return row === undefined || row.length === 0 ? null : row.join('\t')
  }
  const { encoding } = detectEncoding(head, read.encoding ?? null)
  const isCarriage = endsLinesWithCarriage(decodeHead(head, encoding))
  let before = 0
  for await (const { bytes, isTooLong } of lineBlocks(
    utf8Bytes(contentBytes(kept.path, true), encoding, isCarriage),
  )) {
    if (isTooLong) {
      if (++before === line) return `${bytes.toString('utf8')}…`
      continue
    }
    for (let at = 0; at < bytes.length; ) {
      const feed = bytes.indexOf(10, at)
      const end = feed < 0 ? bytes.length : feed
      if (++before === line) return decoded(bytes.subarray(at, end)).replace(/^\ufeff|\r$/g, '')
      at = end + 1
    }
  }
  return null
}

/** Bytes that are no utf-8 are read as the file was: as windows-1252. */
const decoded = (bytes: Buffer): string =>
  isUtf8(bytes) ? bytes.toString('utf8') : new TextDecoder('windows-1252').decode(bytes)
