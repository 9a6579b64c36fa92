export type ProblemCode =
  | 'unknown-query'
  | 'unknown-param'
  | 'bad-param'
  | 'refused'
  | 'failed'
  | 'too-slow'
  | 'too-many-rows'
  | 'unreadable-query'

/**
 * A request that cannot be answered, in one sentence that says what, where and what to do.
 * `suggestion` is the nearest name that exists, or null.
 */
export class QueryProblem extends Error {
  readonly code: ProblemCode
  readonly suggestion: string | null

  constructor(code: ProblemCode, message: string, suggestion: string | null = null) {
    super(message)
    this.name = 'QueryProblem'
    this.code = code
    this.suggestion = suggestion
  }
}
