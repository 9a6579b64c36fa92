import { fieldsOf } from './fields.ts'
import type { EventKind } from './observations.ts'

/**
 * Columns of the ledger beyond the plain fields that one observation gives, the first by place that may: SQL of what it
 * says, missing where it may not give it.
 */
const furtherOf: Record<EventKind, Readonly<Record<string, string>>> = {
  drop: { record: `CASE WHEN witness = 'controller' THEN record END` },
  load: {
    gauge_gal: `CASE WHEN witness = 'controller' THEN coalesce(volume_gal, gauge_after_gal - gauge_before_gal) END`,
  },
  flight: {},
  offload: {},
}

/** Said of a drop that is no column of its own: the controller's opening had no end. */
const openEnded = `list_contains(flags, 'open-ended') AND coverage_level IS NOT NULL`

const namesOf = (kind: EventKind): string[] => [
  ...fieldsOf[kind].map((field) => field.name),
  ...Object.keys(furtherOf[kind]),
]

/** The bit that stands for a column of the ledger in what an observation says and gives. */
export function bitOf(kind: EventKind, name: string): number {
  const place = namesOf(kind).indexOf(name)
  if (place < 0) throw new Error(`${kind} has no field ${name}`)
  return 2 ** place
}

/** The bits of all columns of the ledger that one observation gives. */
export function bitsOf(kind: EventKind): number {
  return 2 ** namesOf(kind).length - 1
}

/** The bit that says `openEnded`. */
export const openEndedBit = 2 ** namesOf('drop').length

/** The bit of a flight that says that it ends before it begins. */
export const backwardBit = 2 ** namesOf('flight').length

/** SQL of the value that an observation says for a column. */
export function saidSql(kind: EventKind, name: string): string {
  return furtherOf[kind][name] ?? fieldsOf[kind].find((field) => field.name === name)!.from
}

/** SQL of the bits of all that an observation says. */
export function saysSql(kind: EventKind): string {
  const bits = namesOf(kind).map((name) => {
    const field = fieldsOf[kind].find((candidate) => candidate.name === name)
    const isSaid = [saidSql(kind, name), ...(field?.with ? [field.with] : [])]
      .map((sql) => `(${sql}) IS NOT NULL`)
      .join(' AND ')
    return `CASE WHEN ${isSaid} THEN ${bitOf(kind, name)} ELSE 0 END`
  })
  if (kind === 'drop') bits.push(`CASE WHEN ${openEnded} THEN ${openEndedBit} ELSE 0 END`)
  if (kind === 'flight') bits.push(`CASE WHEN on_at < off_at THEN ${backwardBit} ELSE 0 END`)
  return bits.join(' + ')
}

/** The bits of a column of the observation: what a person who sets it decides. */
export function bitsFrom(kind: EventKind, column: string): number {
  return fieldsOf[kind]
    .filter((field) => field.from === column)
    .reduce((bits, field) => bits | bitOf(kind, field.name), 0)
}
