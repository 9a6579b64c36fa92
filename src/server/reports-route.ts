import type { Context } from 'hono'
import { nearest } from '../catalogue/index.ts'
import type { ServerEnv } from './accounts.ts'
import type { ServerDeps } from './deps.ts'
import { entityTag, isKnown, notModified } from './etag.ts'
import { problem, RequestRefused } from './problem.ts'
import { type ReportFormat, reportFormats } from './report-formats.ts'
import { todayOf } from './today.ts'

/** `GET /api/reports/KIND?format=html|pdf|xlsx`, with the params of its questions. */
export function reportRoute(deps: ServerDeps): (c: Context<ServerEnv>) => Promise<Response> {
  return async (c) => {
    const kind = c.req.param('kind')!
    const kinds = deps.reports?.kinds ?? []
    if (!deps.reports || !kinds.includes(kind)) {
      const near = nearest(kind, kinds)
      const hint = near ? `did you mean ${near}?` : `it is one of ${kinds.join(', ')}`
      return problem(404, { kind: 'unknown-report', detail: `there is no report ${kind}; ${hint}` })
    }
    const { format, params } = wanted(c)
    const today = todayOf(deps)
    const tag = entityTag('report', await deps.fingerprint(), today, kind, format, params)
    if (isKnown(c.req.header('If-None-Match'), tag)) return notModified(tag)
    const body = await deps.reports.make(kind, format, params)
    const name = [kind, params.tank, params.invoice, params.season, params.as_of].filter(Boolean).join('-')
    return new Response(body as Uint8Array<ArrayBuffer> | string, {
      headers: {
        ETag: tag,
        'Cache-Control': 'private, no-cache',
        'Content-Type': reportFormats[format],
        'Content-Disposition': `${format === 'xlsx' ? 'attachment' : 'inline'}; filename="${name.replace(/[^\w.-]/g, '_')}.${format}"`,
      },
    })
  }
}

function wanted(c: Context<ServerEnv>): { format: ReportFormat; params: Record<string, string> } {
  const { format = 'html', ...params } = c.req.query()
  if (!Object.hasOwn(reportFormats, format)) {
    throw new RequestRefused(
      `format=${format.slice(0, 40)} is none of ${Object.keys(reportFormats).join(', ')}`,
      422,
      'unknown-format',
    )
  }
  return { format: format as ReportFormat, params }
}
