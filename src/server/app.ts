import { type Context, Hono } from 'hono'
import { compress } from 'hono/compress'
import { HTTPException } from 'hono/http-exception'
import { QueryProblem } from '../catalogue/index.ts'
import type { ServerEnv } from './accounts.ts'
import { accountGuard } from './accounts.ts'
import { assetsRoute } from './assets.ts'
import { Changes } from './changes.ts'
import type { ServerDeps } from './deps.ts'
import { eventsRoute } from './events-route.ts'
import { hostGuard, originGuard, securityHeaders } from './guard.ts'
import { openApiRoute } from './openapi.ts'
import { problem, queryProblem, RequestRefused } from './problem.ts'
import { answerQuery, listQueries } from './queries-route.ts'
import { amendRoute, evidenceRoute, ingestRoute, statusRoute } from './records-routes.ts'
import { relayPath, relayRoute } from './relay.ts'
import { reportRoute } from './reports-route.ts'
import { sharedTurn } from './shared-turn.ts'

const compressible =
  /^(text\/(?!event-stream)|application\/(json|problem\+json|manifest\+json|vnd\.apache\.arrow)|image\/svg\+xml)/

/** The server as a value: `app.request(path)` asks it without a port. */
export function createApp(deps: ServerDeps): Hono<ServerEnv> {
  const app = new Hono<ServerEnv>()
  const changes = deps.changes ?? new Changes()
  const whole = { ...deps, changes, fingerprint: sharedTurn(deps.fingerprint) }

  app.use(securityHeaders)
  app.use(compress({ contentTypeFilter: compressible }))
  app.use(hostGuard(deps.hosts ?? [], Boolean(deps.accounts)))
  app.use(originGuard)
  app.get('/healthz', (c) => c.json({ status: 'ok', version: deps.version ?? null }))
  app.post(relayPath, relayRoute(whole))
  app.use(accountGuard(deps.accounts ?? null))

  app.get('/api/queries', listQueries(whole))
  app.get('/api/queries/:name', answerQuery(whole))
  app.get('/api/evidence/:kind/:id{.+}', evidenceRoute(whole))
  app.get('/api/reports/:kind', reportRoute(whole))
  app.get('/api/status', statusRoute(whole))
  app.get('/api/events', eventsRoute(whole, changes))
  app.post('/api/ingest', ...ingestRoute(whole))
  app.post('/api/amendments', ...amendRoute(whole))
  app.get('/openapi.json', openApiRoute(whole))

  for (const [path, methods] of methodsByPath) app.all(path, (c) => wrongMethod(c, methods))
  app.all('/api/*', (c) => noSuchAddress(c))
  app.all('/internal/*', (c) => noSuchAddress(c))
  app.get('*', assetsRoute(deps.assetsFolder))
  app.all('*', (c) => wrongMethod(c, 'GET, HEAD'))
  app.onError((error, c) => answerTo(error, c, whole))
  return app
}

const methodsByPath: readonly [string, string][] = [
  ['/healthz', 'GET, HEAD'],
  ['/api/queries', 'GET, HEAD'],
  ['/api/queries/:name', 'GET, HEAD'],
  ['/api/evidence/:kind/:id{.+}', 'GET, HEAD'],
  ['/api/reports/:kind', 'GET, HEAD'],
  ['/api/status', 'GET, HEAD'],
  ['/api/events', 'GET'],
  ['/openapi.json', 'GET, HEAD'],
  ['/api/ingest', 'POST'],
  ['/api/amendments', 'POST'],
  [relayPath, 'POST'],
]

function wrongMethod(c: Context<ServerEnv>, allow: string): Response {
  return problem(405, { detail: `${c.req.path} takes ${allow}, not ${c.req.method}` }, { Allow: allow })
}

function noSuchAddress(c: Context<ServerEnv>): Response {
  return problem(404, {
    kind: 'no-such-address',
    detail: `there is nothing at ${c.req.path}; /openapi.json lists what is`,
  })
}

/** The client went away and its work was stopped: nobody reads this answer, and nothing failed. */
const clientClosedRequest = 499

/** Every error leaves as a problem; what the server did not expect leaves without its insides, which go to the log. */
function answerTo(error: Error, c: Context<ServerEnv>, deps: ServerDeps): Response {
  if (c.req.raw.signal.aborted) return new Response(null, { status: clientClosedRequest })
  if (error instanceof RequestRefused)
    return problem(error.status, { kind: error.kind, detail: error.message })
  if (error instanceof QueryProblem) {
    const name = c.req.param('name') ?? ''
    const isBuiltIn = !deps.catalogue.has(name) || deps.catalogue.describe(name).isBuiltIn
    if (error.code === 'failed' && isBuiltIn) deps.log?.(`${c.req.method} ${c.req.path}: ${error.message}`)
    return queryProblem(error, isBuiltIn)
  }
  if (error instanceof HTTPException)
    return problem(error.status, { detail: error.message || 'the request was refused' })
  deps.log?.(`${c.req.method} ${c.req.path}: ${error.stack ?? error.message}`)
  return problem(500, { detail: 'the server could not do this; its log says why' })
}
