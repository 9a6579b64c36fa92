import { type Column, type Kind, sqlTypes } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'

/**
 * Why a person cannot set this field to this text, in canonical units; null when they can. Unknown (null) is a value
 * too, except for what makes an event: its time and its aircraft.
 */
export async function valueTrouble(
  warehouse: Warehouse,
  kind: Kind,
  column: Column,
  value: string | null,
): Promise<string | null> {
  const { name, type, min, max, choices } = column
  if (value === null)
    return name === kind.time || name === 'aircraft'
      ? `the ${name} of a ${kind.name} cannot be unknown; exclude the ${kind.name} instead`
      : null
  const refused = `${name} cannot be '${value.slice(0, 40)}'`
  if (choices !== undefined && !choices.includes(value))
    return `${refused}; it is one of ${choices.join(', ')}`
  if (name === 'aircraft') {
    const known = await warehouse.value(
      "SELECT 1 FROM obs.aircraft WHERE registration = $value AND fate = 'accepted'",
      { value },
    )
    return known === null ? `${refused}; write a registration that is on record` : null
  }
  if (sqlTypes[type].startsWith('VARCHAR')) return null
  const range = min === undefined || max === undefined ? '' : ` from ${min} to ${max}`
  const text = `${refused}; write ${type === 'time' ? 'a time such as 2026-07-04T18:30:20Z' : `a plain number${range}`}`
  const read = await warehouse.value(`SELECT TRY_CAST($value AS ${sqlTypes[type]})::VARCHAR`, { value })
  if (read === null) return text
  if (type === 'time') return null
  const number = Number(read)
  return number >= (min ?? Number.NEGATIVE_INFINITY) && number <= (max ?? Number.POSITIVE_INFINITY)
    ? null
    : text
}
