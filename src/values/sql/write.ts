/** A text as an SQL literal. */
export function quote(text: string): string {
  return `'${text.replaceAll("'", "''")}'`
}

/** A double as an SQL literal that is read back to the same bits. */
export function literal(value: number): string {
  return `CAST('${value}' AS DOUBLE)`
}

/**
 * Binds `expr` to a name that `body` may use often: the expression is then computed once per row, not once per
 * mention, which matters for regular expressions inside CASE (where DuckDB does not share common parts).
 */
export function once(expr: string, name: string, body: string): string {
  return `list_transform([${expr}], lambda ${name}: ${body})[1]`
}

/** One step of a function that is constant between breakpoints: below `until` it has this `result`. */
export interface Step {
  until: string
  result: string
}

/**
 * Balanced nested CASE for a step function, so that a column costs a few comparisons however many steps there are.
 * Steps are in order; `last` holds from the last breakpoint on.
 */
export function stepwise(variable: string, steps: readonly Step[], last: string): string {
  if (steps.length === 0) return last
  const middle = Math.floor(steps.length / 2)
  const step = steps[middle]!
  const below = stepwise(variable, steps.slice(0, middle), step.result)
  const above = stepwise(variable, steps.slice(middle + 1), last)
  return below === above ? below : `CASE WHEN ${variable} < ${step.until} THEN ${below} ELSE ${above} END`
}
