import type { QueryProblem } from '../catalogue/index.ts'

const titles: Readonly<Record<number, string>> = {
  400: 'The request cannot be read',
  401: 'Who are you?',
  403: 'Not allowed',
  404: 'Not found',
  405: 'This address does not take that method',
  406: 'None of the formats asked for can be given',
  409: 'It clashes with what is there',
  413: 'Too large',
  415: 'This kind of content is not taken',
  421: 'This server does not go by that name',
  422: 'The request does not make sense here',
  429: 'Too many attempts',
  500: 'Something went wrong here',
  503: 'Not now',
}

export type ProblemFields = {
  /** A short name of the kind of trouble: `unknown-query`. */
  kind?: string
  title?: string
  /** What, where, what to do; one sentence. */
  detail: string
  [more: string]: unknown
}

/** An RFC 9457 problem document. */
export function problem(
  status: number,
  fields: ProblemFields,
  headers: Record<string, string> = {},
): Response {
  const { kind, title, detail, ...more } = fields
  const body = {
    type: kind ? `urn:gallonage:problem:${kind}` : 'about:blank',
    title: title ?? titles[status] ?? 'Problem',
    status,
    detail,
    ...more,
  }
  return new Response(`${JSON.stringify(body)}\n`, {
    status,
    headers: { 'Content-Type': 'application/problem+json', 'Cache-Control': 'no-store', ...headers },
  })
}

/** A request that was understood and refused: thrown by what the server is given, answered as a problem. */
export class RequestRefused extends Error {
  readonly status: number
  readonly kind: string

  constructor(message: string, status = 422, kind = 'refused') {
    super(message)
    this.name = 'RequestRefused'
    this.status = status
    this.kind = kind
  }
}

const statusOf: Readonly<Record<QueryProblem['code'], number>> = {
  'unknown-query': 404,
  'unknown-param': 422,
  'bad-param': 422,
  refused: 422,
  failed: 500,
  'too-slow': 422,
  'too-many-rows': 422,
  'unreadable-query': 500,
}

/** A question that cannot be answered. A user's own statement that fails is the user's to mend, not the server's. */
export function queryProblem(error: QueryProblem, isBuiltIn: boolean): Response {
  const status = error.code === 'failed' && !isBuiltIn ? 422 : statusOf[error.code]
  return problem(status, {
    kind: error.code,
    detail: error.message,
    ...(error.suggestion ? { suggestion: error.suggestion } : {}),
  })
}
