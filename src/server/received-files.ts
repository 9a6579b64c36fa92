import type { Context } from 'hono'
import type { ServerEnv } from './accounts.ts'
import type { ReceivedFile } from './deps.ts'
import { RequestRefused } from './problem.ts'

/**
 * The files of a request: a form with files, or one file as the body, named by `?name=` or `Content-Disposition`.
 * JSON lines without a name are taken as `lines.jsonl`.
 * @throws RequestRefused
 */
export async function receivedFiles(c: Context<ServerEnv>): Promise<ReceivedFile[]> {
  const type = (c.req.header('Content-Type') ?? '').split(';')[0]!.trim().toLowerCase()
  const files = type === 'multipart/form-data' ? await formFiles(c) : [await bodyFile(c, type)]
  if (files.length === 0)
    throw new RequestRefused('the form holds no file; add one as "file"', 422, 'no-file')
  return files
}

async function formFiles(c: Context<ServerEnv>): Promise<ReceivedFile[]> {
  let form: FormData
  try {
    form = await c.req.raw.formData()
  } catch {
    throw new RequestRefused(
      'the form cannot be read; send it as multipart/form-data with its boundary',
      400,
      'bad-form',
    )
  }
  const files: ReceivedFile[] = []
  for (const value of form.values()) {
    if (typeof value === 'string') continue
    files.push({ name: bareName(value.name), bytes: new Uint8Array(await value.arrayBuffer()) })
  }
  return files
}

const lineTypes: ReadonlySet<string> = new Set([
  'application/x-ndjson',
  'application/jsonl',
  'application/json-lines',
])
const refusedTypes: ReadonlySet<string> = new Set(['application/x-www-form-urlencoded', 'text/html'])

async function bodyFile(c: Context<ServerEnv>, type: string): Promise<ReceivedFile> {
  if (refusedTypes.has(type)) {
    throw new RequestRefused(
      `${type} is not a log; send the file's own bytes with ?name=…, a form with files, or JSON lines`,
      415,
      'unknown-content',
    )
  }
  const given = c.req.query('name') ?? dispositionName(c.req.header('Content-Disposition'))
  const name = given ?? (lineTypes.has(type) ? 'lines.jsonl' : null)
  if (name === null) {
    throw new RequestRefused('the file has no name; send it with ?name=drops.csv', 422, 'no-name')
  }
  const bytes = new Uint8Array(await c.req.arrayBuffer())
  if (bytes.length === 0)
    throw new RequestRefused(`${bareName(name)} is empty; nothing arrived`, 422, 'empty-file')
  return { name: bareName(name), bytes }
}

/** RFC 6266: `filename*` before `filename`. */
export function dispositionName(header: string | undefined): string | null {
  if (!header) return null
  const extended = /filename\*\s*=\s*utf-8''([^;]+)/i.exec(header)
  if (extended) {
    try {
      return decodeURIComponent(extended[1]!.trim())
    } catch {
      return null
    }
  }
  const plain = /filename\s*=\s*(?:"((?:[^"\\]|\\.)*)"|([^;\s]+))/i.exec(header)
  return plain ? (plain[1]?.replace(/\\(.)/g, '$1') ?? plain[2] ?? null) : null
}

/** The name without folders and without letters that a file name cannot hold. */
export function bareName(text: string): string {
  const last = text.split(/[/\\]/).at(-1) ?? ''
  const clean = last
    .replace(/[\p{Cc}<>:"|?*]/gu, '_')
    .trim()
    .slice(0, 200)
  return clean === '' || clean === '.' || clean === '..' ? 'file' : clean
}
