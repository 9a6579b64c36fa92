import type { Params, Warehouse } from '../warehouse/index.ts'
import { addAhead, writeAhead } from './ahead.ts'
import { dueForecast, dueList, dueOptions } from './due.ts'
import { writeDue } from './write-due.ts'

/**
 * Fills `asked.due`, and `asked.due_ahead` for the tasks that come next, for `as_of`, `tank` and `seed`; what `needs: due` names.
 */
export async function prepareDue(warehouse: Warehouse, params: Params): Promise<void> {
  const list = await dueList(warehouse, dueOptions(params))
  await writeDue(warehouse, list)
  await writeAhead(warehouse, list.forecast)
}

/**
 * Adds to `asked.due_ahead` what the tasks of `item` need, beside those that come next and stand there since `asked.due` was
 * filled for the same `as_of`, `tank` and `seed`; what `needs: ahead` names.
 */
export async function prepareAhead(warehouse: Warehouse, params: Params): Promise<void> {
  const item = (params.item as string | null | undefined) ?? null
  if (item !== null) await addAhead(warehouse, item, () => dueForecast(warehouse, dueOptions(params)))
}
