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

/**
 * True if `expr` is one of the texts. Not written with IN: DuckDB turns a long IN into a join whose key it computes
 * for every row, also where a CASE would not have asked; this the reader of a table asks before it reads the rest of a row.
 */
export function oneOf(expr: string, texts: readonly string[]): string {
  if (texts.length === 0) return 'false'
  return `list_contains([${texts.map(quote).join(', ')}], ${expr})`
}
