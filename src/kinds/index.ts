import { eventKinds } from './event-kinds.ts'
import type { Kind, KindName } from './kind.ts'
import { registryKinds } from './registry-kinds.ts'

export { type Column, type ColumnType, fieldName, type ReferenceTarget, sqlTypes } from './column.ts'
export * from './kind.ts'
export { cellOf, keyOf, manualOfKinds } from './manual.ts'
export { fileOfObs, lineOfObs, recordsOfLine, rowsOfFile } from './obs-number.ts'
export { precedence } from './precedence.ts'

/** Every record kind, registry first: the order in which rows are typed. */
export const kinds: readonly Kind[] = [...registryKinds, ...eventKinds]

const byName = new Map<string, Kind>(kinds.map((kind) => [kind.name, kind]))

/** @throws Error for a name that is no kind; use `isKindName` first on text from outside. */
export function kindOf(name: KindName): Kind {
  const kind = byName.get(name)
  if (!kind) throw new Error(`${name} is not a record kind`)
  return kind
}

export function isKindName(name: string): name is KindName {
  return byName.has(name)
}
