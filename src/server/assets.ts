import { readFile, stat } from 'node:fs/promises'
import { extname, join, resolve, sep } from 'node:path'
import { promisify } from 'node:util'
import { gzip } from 'node:zlib'
import type { Context } from 'hono'
import type { ServerEnv } from './accounts.ts'
import { entityTag, isKnown } from './etag.ts'
import { takesGzip } from './kept-answers.ts'
import { problem } from './problem.ts'

const compressed = promisify(gzip)

const types: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.mjs': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json',
  '.map': 'application/json',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.woff2': 'font/woff2',
  '.txt': 'text/plain; charset=utf-8',
  '.webmanifest': 'application/manifest+json',
}

/** The built pages. A path without a file ending is a page of the one document. */
export function assetsRoute(folder: string | null): (c: Context<ServerEnv>) => Promise<Response> {
  const packed = new Map<string, Uint8Array<ArrayBuffer>>()
  return async (c) => {
    if (folder === null)
      return problem(404, { kind: 'no-pages', detail: 'the pages are not built; run "npm run build"' })
    const path = decoded(c.req.path)
    const isPage = path !== null && extname(path) === ''
    const file = path === null ? null : inside(folder, isPage ? '/index.html' : path)
    const info = file ? await stat(file).catch(() => null) : null
    if (!file || !info?.isFile()) {
      return problem(404, { kind: 'no-such-page', detail: `there is nothing at ${c.req.path}; start at /` })
    }
    const tag = entityTag(file, info.size, info.mtimeMs)
    const headers = {
      ETag: tag,
      'Content-Type': types[extname(file).toLowerCase()] ?? 'application/octet-stream',
      // A file whose name carries its hash never changes.
      'Cache-Control': /[-.][A-Z0-9]{8}\.\w+$/.test(file)
        ? 'public, max-age=31536000, immutable'
        : 'no-cache',
    }
    if (isKnown(c.req.header('If-None-Match'), tag)) return new Response(null, { status: 304, headers })
    const bytes = new Uint8Array(await readFile(file))
    if (
      !/^(text|image\/svg|application)/.test(headers['Content-Type']) ||
      !takesGzip(c.req.header('Accept-Encoding'))
    )
      return new Response(bytes, { headers })
    // Packed once, as small as it gets, and not at every request.
    let small = packed.get(tag)
    if (!small) {
      small = new Uint8Array(await compressed(bytes, { level: 9 }))
      packed.set(tag, small)
    }
    return new Response(small, {
      headers: { ...headers, ETag: `W/${tag}`, 'Content-Encoding': 'gzip', Vary: 'Accept-Encoding' },
    })
  }
}

function decoded(path: string): string | null {
  try {
    const text = decodeURIComponent(path)
    return text.includes('\0') ? null : text
  } catch {
    return null
  }
}

function inside(folder: string, path: string): string | null {
  const root = resolve(folder)
  const file = resolve(join(root, path))
  return file.startsWith(root + sep) ? file : null
}
