import type { MiddlewareHandler } from 'hono'
import type { ServerEnv } from './accounts.ts'
import { problem } from './problem.ts'

/** Names of the loopback address (RFC 6761 reserves localhost). */
export function isLoopback(hostname: string): boolean {
  const name = hostname.toLowerCase().replace(/^\[|\]$/g, '')
  return (
    name === 'localhost' || name.endsWith('.localhost') || name === '::1' || /^127(\.\d{1,3}){3}$/.test(name)
  )
}

/**
 * A page elsewhere can point its own name at this machine and read answers through the visitor's browser;
 * so a request must call the server by a name that it goes by.
 */
export function hostGuard(hosts: readonly string[], isOpen: boolean): MiddlewareHandler<ServerEnv> {
  const known = new Set(hosts.map((host) => host.toLowerCase()))
  return async (c, next) => {
    const { hostname } = new URL(c.req.url)
    if (isLoopback(hostname) || known.has(hostname.toLowerCase()) || (isOpen && known.size === 0))
      return next()
    return problem(421, {
      kind: 'unknown-host',
      detail: `this server does not answer to ${hostname}; open it as http://127.0.0.1 with its port`,
    })
  }
}

const safeMethods: ReadonlySet<string> = new Set(['GET', 'HEAD', 'OPTIONS'])

/** Only pages of this server may change anything from a browser. Programs, which send no origin, may. */
export const originGuard: MiddlewareHandler<ServerEnv> = async (c, next) => {
  if (safeMethods.has(c.req.method)) return next()
  const site = c.req.header('Sec-Fetch-Site')
  const origin = c.req.header('Origin')
  const isForeignSite = site !== undefined && site !== 'same-origin' && site !== 'none'
  const isForeignOrigin = origin !== undefined && !sameHost(origin, c.req.url, c.req.header('Host'))
  if (!isForeignSite && !isForeignOrigin) return next()
  return problem(403, {
    kind: 'foreign-origin',
    detail:
      'the request comes from a page of another site; send it from this server’s own pages, or from a program',
  })
}

function sameHost(origin: string, url: string, host: string | undefined): boolean {
  try {
    return new URL(origin).host === (host ?? new URL(url).host)
  } catch {
    return false
  }
}

/** Plot writes style elements into its drawings, so styles may be inline; scripts may not. */
const contentSecurityPolicy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' data: blob:",
  "font-src 'self'",
  "connect-src 'self'",
  "manifest-src 'self'",
  "worker-src 'self'",
  "base-uri 'none'",
  "form-action 'self'",
  "frame-ancestors 'none'",
].join('; ')

export const securityHeaders: MiddlewareHandler<ServerEnv> = async (c, next) => {
  await next()
  c.res.headers.set('Content-Security-Policy', contentSecurityPolicy)
  c.res.headers.set('X-Content-Type-Options', 'nosniff')
  c.res.headers.set('X-Frame-Options', 'DENY')
  c.res.headers.set('Referrer-Policy', 'no-referrer')
  c.res.headers.set('Cross-Origin-Opener-Policy', 'same-origin')
  c.res.headers.set('Cross-Origin-Resource-Policy', 'same-origin')
  c.res.headers.set('Permissions-Policy', 'camera=(), geolocation=(), microphone=()')
}
