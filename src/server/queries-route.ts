import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Context } from 'hono'
import type { GivenParams, Page, Question, Result } from '../catalogue/index.ts'
import type { ServerEnv } from './accounts.ts'
import type { ServerDeps } from './deps.ts'
import { entityTag, isKnown, notModified } from './etag.ts'
import { acceptedFormat, type Format, isFormat, mediaTypes, pagedFormats } from './formats.ts'
import { KeptAnswers, keptResponse, type MadeAnswer } from './kept-answers.ts'
import { problem, RequestRefused } from './problem.ts'
import { todayOf } from './today.ts'

/** `GET /api/queries`: every question, with what it takes and gives. */
export function listQueries(deps: ServerDeps): (c: Context<ServerEnv>) => Promise<Response> {
  return async (c) => {
    const questions = deps.catalogue.list().map(described)
    const tag = entityTag('queries', questions)
    if (isKnown(c.req.header('If-None-Match'), tag)) return notModified(tag)
    return c.json(questions, 200, { ETag: tag, 'Cache-Control': 'private, no-cache' })
  }
}

function described(question: Question) {
  return {
    name: question.name,
    title: question.title,
    grain: question.grain,
    params: question.params.map((param) => param.name),
    columns: question.columns,
    notes: question.notes,
    param_details: question.params,
    built_in: question.isBuiltIn,
  }
}

/** `GET /api/queries/NAME?params`, in the format that `format` or `Accept` asks for. */
export function answerQuery(deps: ServerDeps): (c: Context<ServerEnv>) => Promise<Response> {
  const kept = new KeptAnswers()
  return async (c) => {
    const name = c.req.param('name')!
    const question = deps.catalogue.describe(name)
    const { given, page, format } = readRequest(c)
    if (format === null) {
      return problem(406, {
        kind: 'no-format',
        detail: `one of ${Object.values(mediaTypes).join(', ')} can be given`,
      })
    }
    const params = deps.catalogue.check(name, given)
    const today = todayOf(deps)
    const fingerprint = await deps.fingerprint()
    // Some answers are about today, and all of them follow their statement.
    const tag = entityTag(fingerprint, today, question.sql, question.columns, params, format, page)
    if (isKnown(c.req.header('If-None-Match'), tag)) return notModified(tag)
    const headers: Record<string, string> = {
      ETag: tag,
      'Cache-Control': 'private, no-cache',
      Vary: 'Accept, Accept-Encoding',
      'Content-Type': format === 'csv' ? 'text/csv; charset=utf-8; header=present' : mediaTypes[format],
    }
    if (format !== 'json') {
      headers['Content-Disposition'] = `attachment; filename="${name}.${format}"`
    }
    const most = page.limit === undefined ? {} : { most: (page.offset ?? 0) + page.limit + 1 }
    const ask = (signal: AbortSignal): Promise<Result> =>
      deps.catalogue.run(deps.warehouse, name, given, { signal, ...most })
    // What pages ask for, whole tables and pages of lists, is kept; files to be saved are made as they are sent.
    if (format === 'arrow' || (format === 'json' && page.limit !== undefined)) {
      const found = await kept.get(tag, c.req.raw.signal, async (signal) =>
        made(c.req.url, await ask(signal), format, page, headers),
      )
      return keptResponse(found, c.req.header('Accept-Encoding'))
    }
    return answer(c, await ask(c.req.raw.signal), { format, page, headers, fingerprint })
  }
}

async function made(
  url: string,
  result: Result,
  format: 'arrow' | 'json',
  page: Page,
  headers: Record<string, string>,
): Promise<MadeAnswer> {
  if (format === 'arrow') return { bytes: bytesOf(await result.toArrowStream()), headers }
  const { text, links } = await pageOf(url, result, result.toJson(page), page)
  return { bytes: new TextEncoder().encode(text), headers: links ? { ...headers, Link: links } : headers }
}

/** A page is read whole, so that its links can say whether another follows. */
async function pageOf(
  url: string,
  result: Result,
  pieces: AsyncGenerator<string>,
  page: Page,
): Promise<{ text: string; links: string | null }> {
  let text = ''
  for await (const piece of pieces) text += piece
  return { text, links: pageLinks(url, page as { limit: number; offset?: number }, result.hasMore) }
}

type Wanted = {
  format: Exclude<Format, 'arrow'>
  page: Page
  headers: Record<string, string>
  fingerprint: string
}

async function answer(c: Context<ServerEnv>, result: Result, wanted: Wanted): Promise<Response> {
  const { format, page, headers, fingerprint } = wanted
  if (format === 'xlsx') return new Response(bytesOf(await result.toXlsx({ fingerprint })), { headers })
  if (format === 'parquet') return new Response(bytesOf(await parquetOf(result)), { headers })
  const pieces = format === 'csv' ? result.toCsv(page) : result.toJson(page)
  if (page.limit === undefined) return new Response(await streamOf(pieces, c.req.raw.signal), { headers })
  const { text, links } = await pageOf(c.req.url, result, pieces, page)
  return new Response(text, { headers: links ? { ...headers, Link: links } : headers })
}

function readRequest(c: Context<ServerEnv>): { given: GivenParams; page: Page; format: Format | null } {
  const url = new URL(c.req.url)
  const given: Record<string, string> = {}
  for (const [key, value] of url.searchParams) {
    if (key === 'format' || key === 'limit' || key === 'offset') continue
    if (key in given) throw new RequestRefused(`${key} is given twice; give it once`, 422, 'bad-param')
    given[key] = value
  }
  const asked = url.searchParams.get('format')
  if (asked !== null && !isFormat(asked)) {
    throw new RequestRefused(
      `format=${asked.slice(0, 40)} is none of ${Object.keys(mediaTypes).join(', ')}`,
      422,
      'unknown-format',
    )
  }
  const format = asked ?? acceptedFormat(c.req.header('Accept'))
  const page = { limit: wholeNumber(url, 'limit', 1), offset: wholeNumber(url, 'offset', 0) }
  if (
    format !== null &&
    !pagedFormats.has(format) &&
    (page.limit !== undefined || page.offset !== undefined)
  ) {
    throw new RequestRefused(
      `${format} is given whole; leave limit and offset out, or ask for json or csv`,
      422,
      'no-pages',
    )
  }
  return { given, page, format }
}

function wholeNumber(url: URL, name: 'limit' | 'offset', least: number): number | undefined {
  const text = url.searchParams.get(name)
  if (text === null) return undefined
  const number = Number(text)
  if (!/^\d+$/.test(text) || number < least || number > 1e9) {
    throw new RequestRefused(
      `${name}=${text.slice(0, 40)} is not a whole number from ${least}`,
      422,
      'bad-param',
    )
  }
  return number
}

/** RFC 8288 links to the pages beside this one. */
function pageLinks(url: string, page: { limit: number; offset?: number }, hasMore: boolean): string | null {
  const offset = page.offset ?? 0
  const links: string[] = []
  const link = (rel: string, at: number): void => {
    const target = new URL(url)
    target.searchParams.set('limit', String(page.limit))
    target.searchParams.set('offset', String(at))
    links.push(`<${target.pathname}${target.search}>; rel="${rel}"`)
  }
  if (offset > 0) link('prev', Math.max(0, offset - page.limit))
  if (hasMore) link('next', offset + page.limit)
  return links.length > 0 ? links.join(', ') : null
}

/** The first piece is made before the answer begins, so that a failing question fails as a problem. */
async function streamOf(
  pieces: AsyncGenerator<string>,
  signal: AbortSignal,
): Promise<ReadableStream<Uint8Array>> {
  const encoder = new TextEncoder()
  let next: IteratorResult<string> | null = await pieces.next()
  return new ReadableStream<Uint8Array>({
    async pull(controller) {
      let piece: IteratorResult<string>
      try {
        piece = next ?? (await pieces.next())
      } catch (error) {
        // A client that went away stops the question; there is nobody to tell.
        return signal.aborted ? controller.close() : controller.error(error)
      }
      next = null
      if (piece.done) controller.close()
      else controller.enqueue(encoder.encode(piece.value))
    },
    async cancel() {
      await pieces.return(undefined)
    },
  })
}

async function parquetOf(result: Result): Promise<Uint8Array> {
  const folder = await mkdtemp(join(tmpdir(), 'gallonage-parquet-'))
  try {
    const path = join(folder, 'answer.parquet')
    await result.toParquet(path)
    return await readFile(path)
  } finally {
    await rm(folder, { recursive: true, force: true })
  }
}

function bytesOf(bytes: Uint8Array): Uint8Array<ArrayBuffer> {
  return bytes as Uint8Array<ArrayBuffer>
}
