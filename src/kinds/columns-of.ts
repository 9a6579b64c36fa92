import type { Column, ColumnType, ReferenceTarget } from './column.ts'

type Extra = Partial<Pick<Column, 'min' | 'max' | 'choices' | 'of'>>

/** A column from one line: `'volume_gal*'` is required; the rest says what it holds. */
export function column(spec: string, type: ColumnType, about: string, extra: Extra = {}): Column {
  const required = spec.endsWith('*')
  return { name: required ? spec.slice(0, -1) : spec, type, required, about, ...extra }
}

export function reference(spec: string, of: ReferenceTarget, about: string): Column {
  return column(spec, 'reference', about, { of })
}

export function choice(spec: string, choices: readonly string[], about: string): Column {
  return column(spec, 'choice', about, { choices })
}
