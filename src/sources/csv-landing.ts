import { createHash, type Hash, randomUUID } from 'node:crypto'
import { open, rm } from 'node:fs/promises'
import { join } from 'node:path'
import { contentBytes, contentHead, fileBytes } from './bytes.ts'
import { rewriteCsv } from './csv-rewrite.ts'
import { type Survey, surveyCsv } from './csv-survey.ts'
import { decodeHead, endsLinesWithCarriage, utf8Bytes } from './encoding.ts'
import type { FoundFile } from './found-file.ts'
import type { Landing, Recognized } from './landing.ts'
import { problem, type SourceProblem } from './problem.ts'
import type { Encoding } from './profile.ts'
import { RowWriter } from './row-writer.ts'

const headBytes = 65_536

/**
 * Lands a CSV file. If every line is plain, the file itself (or a utf-8 copy of it) is what is read; else a clean
 * CSV is written. The file is read once in the first case, twice in the second.
 */
export async function landCsv(file: FoundFile, recognized: Recognized, scratchDir: string): Promise<Landing> {
  const notes: SourceProblem[] = []
  const { head } = await contentHead(file.path, headBytes)
  const isCarriage = endsLinesWithCarriage(decodeHead(head, recognized.encoding))
  const skip = recognized.headerLine - 1 + recognized.headerSpan
  const layout = { delimiter: recognized.delimiter, header: recognized.header, skip }
  const scratch = (name: string) => join(scratchDir, `${randomUUID()}.${name}.csv`)

  const read = async (encoding: Encoding) => {
    const hash = createHash('sha256')
    const asIs = !recognized.isGzip && encoding === 'utf-8' && !isCarriage
    const copy = asIs ? null : scratch('copy')
    const bytes = utf8Bytes(contentBytes(file.path, recognized.isGzip, hash), encoding, isCarriage)
    try {
      const survey = await surveyCsv(copy ? copied(bytes, copy) : bytes, layout)
      return { hash, copy, survey, path: copy ?? file.path }
    } catch (error) {
      if (copy) await rm(copy, { force: true })
      throw error
    }
  }

  let encoding = recognized.encoding
  if (encoding === 'windows-1252' && recognized.profile.csv.encoding !== encoding) {
    notes.push(encodingNote(file.path, recognized.headerLine))
  }
  let pass = await read(encoding)
  if (encoding === 'utf-8' && pass.survey.badLine !== null && !pass.survey.hasWideUtf8) {
    notes.push(encodingNote(file.path, pass.survey.badLine))
    encoding = 'windows-1252'
    if (pass.copy) await rm(pass.copy, { force: true })
    pass = await read(encoding)
  }
  const landing = {
    header: recognized.header,
    sha256: digest(pass.hash),
    notes,
  }
  const csv = { delimiter: layout.delimiter, quote: '"', escape: '"' } as const
  if (canStand(pass.survey, recognized)) {
    const { rowCount } = pass.survey
    const isScratch = pass.copy !== null
    return {
      ...landing,
      csvPath: pass.path,
      direct: true,
      isScratch,
      rowCount,
      problemCount: 0,
      csv: { ...csv, skip },
    }
  }
  const clean = scratch('clean')
  const writer = await RowWriter.create(clean, layout.delimiter)
  try {
    await rewriteCsv(fileBytes(pass.path), layout, writer)
  } finally {
    await writer.close()
    if (pass.copy) await rm(pass.copy, { force: true })
  }
  const { rowCount, problemCount } = writer
  return {
    ...landing,
    csvPath: clean,
    direct: false,
    isScratch: true,
    rowCount,
    problemCount,
    csv: { ...csv, skip: 1 },
  }
}

/** Row k stands on line header + k only if the header itself is one line. */
function canStand(survey: Survey, recognized: Recognized): boolean {
  return survey.isPlain && recognized.headerSpan === 1
}

function encodingNote(path: string, line: number): SourceProblem {
  return problem(
    path,
    'the bytes are not utf-8; the file was read as windows-1252',
    'check that accented letters came out right, and name the encoding in the profile',
    line,
  )
}

function digest(hash: Hash): string {
  return hash.digest('hex')
}

/** Passes the chunks on and writes them to a file. */
async function* copied(chunks: AsyncIterable<Uint8Array>, path: string): AsyncGenerator<Uint8Array, void> {
  const handle = await open(path, 'w')
  try {
    for await (const chunk of chunks) {
      for (let from = 0; from < chunk.length; ) {
        from += (await handle.write(chunk, from, chunk.length - from)).bytesWritten
      }
      yield chunk
    }
  } finally {
    await handle.close()
  }
}
