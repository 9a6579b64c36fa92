import type { Context, Handler, MiddlewareHandler } from 'hono'
import { bodyLimit } from 'hono/body-limit'
import { nearest } from '../catalogue/index.ts'
import type { ServerEnv } from './accounts.ts'
import { type Amendment, amendmentSchema } from './amendment.ts'
import type { ServerDeps } from './deps.ts'
import { entityTag, isKnown, notModified } from './etag.ts'
import { Idempotency } from './idempotency.ts'
import { problem } from './problem.ts'
import { receivedFiles } from './received-files.ts'

/** Kinds of records that open to their evidence. */
export const evidenceKinds = [
  'drop',
  'load',
  'flight',
  'offload',
  'tank',
  'component',
  'fire',
  'base',
  'aircraft',
  'invoice-line',
  'file',
  'finding',
  'obs',
] as const

const largestUpload = 512 * 1024 * 1024
const largestAmendment = 1024 * 1024

/** `GET /api/evidence/KIND/ID` */
export function evidenceRoute(deps: ServerDeps): (c: Context<ServerEnv>) => Promise<Response> {
  return async (c) => {
    const kind = c.req.param('kind')!
    const id = c.req.param('id')!
    if (!(evidenceKinds as readonly string[]).includes(kind)) {
      const near = nearest(kind, evidenceKinds)
      const hint = near ? `did you mean ${near}?` : `it is one of ${evidenceKinds.join(', ')}`
      return problem(404, { kind: 'unknown-kind', detail: `there is no kind of record ${kind}; ${hint}` })
    }
    const tag = entityTag(await deps.fingerprint(), kind, id)
    if (isKnown(c.req.header('If-None-Match'), tag)) return notModified(tag)
    const found = await deps.evidence(kind, id)
    if (found === null || found === undefined) {
      const near = await deps.nearRecord?.(kind, id)
      return problem(404, {
        kind: 'unknown-record',
        detail: `there is no ${kind} ${id}; it may have another name since the last arrival${near ? `: the nearest in time is ${near}` : ''}`,
      })
    }
    return c.json(found as object, 200, { ETag: tag, 'Cache-Control': 'private, no-cache' })
  }
}

/** `GET /api/status` */
export function statusRoute(deps: ServerDeps): (c: Context<ServerEnv>) => Promise<Response> {
  return async (c) => {
    const status = await deps.status()
    const tag = entityTag('status', status)
    if (isKnown(c.req.header('If-None-Match'), tag)) return notModified(tag)
    return c.json(status, 200, { ETag: tag, 'Cache-Control': 'private, no-cache' })
  }
}

type Route = [MiddlewareHandler<ServerEnv>, Handler<ServerEnv>]

/** `POST /api/ingest` */
export function ingestRoute(deps: ServerDeps): Route {
  const answers = new Idempotency()
  return [
    limited(deps.largestUploadBytes ?? largestUpload, 'ingest the file with the command line'),
    async (c) => {
      const files = await receivedFiles(c)
      const key = c.req.header('Idempotency-Key')
      const answer = await answers.once(key, c.get('account')?.name, files, () => deps.ingest(files))
      deps.changes?.tell(await deps.fingerprint())
      return c.json(answer as object)
    },
  ]
}

/** `POST /api/amendments` */
export function amendRoute(deps: ServerDeps): Route {
  return [
    limited(largestAmendment, 'send one amendment at a time'),
    async (c) => {
      const type = (c.req.header('Content-Type') ?? '').split(';')[0]!.trim().toLowerCase()
      if (type !== 'application/json') {
        return problem(415, { kind: 'unknown-content', detail: 'an amendment is sent as application/json' })
      }
      let body: unknown
      try {
        body = await c.req.json()
      } catch {
        return problem(400, { kind: 'bad-json', detail: 'the body is not JSON; check its quotes and commas' })
      }
      const account = c.get('account')
      // Whoever is known by an account amends under that name.
      const named =
        account && body !== null && typeof body === 'object' ? { ...body, by: account.name } : body
      const parsed = amendmentSchema.safeParse(named)
      if (!parsed.success) {
        const errors = parsed.error.issues.map((issue) => ({
          pointer: `#/${issue.path.join('/')}`,
          detail: issue.message,
        }))
        const first = errors[0]!
        return problem(422, {
          kind: 'bad-amendment',
          detail: `${first.pointer.slice(2) || 'the amendment'}: ${first.detail}`,
          errors,
        })
      }
      const answer = await deps.amend(parsed.data as Amendment)
      deps.changes?.tell(await deps.fingerprint())
      return c.json((answer ?? { done: true }) as object)
    },
  ]
}

function limited(maxSize: number, instead: string): MiddlewareHandler<ServerEnv> {
  return bodyLimit({
    maxSize,
    onError: () =>
      problem(413, {
        kind: 'too-large',
        detail: `the body is larger than ${Math.round(maxSize / 1024 / 1024)} MB; ${instead}`,
      }),
  })
}
