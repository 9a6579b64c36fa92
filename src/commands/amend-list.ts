import { obsName } from '../evidence/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import type { Arguments } from './arguments.ts'
import type { Effects } from './effects.ts'

/** Prints every amendment, in the order made. @returns the exit code. */
export async function listAmendments(
  warehouse: Warehouse,
  args: Arguments,
  effects: Effects,
): Promise<number> {
  const rows = await warehouse.rows(
    'SELECT amendment_no, made_at, made_by, action, payload::VARCHAR AS payload, reason, undone_by FROM raw.amendment ORDER BY amendment_no',
  )
  if (args.flag('json')) effects.out(`${JSON.stringify(rows, null, 2)}\n`)
  else if (rows.length === 0) effects.out('no amendments\n')
  else
    for (const row of rows)
      effects.out(
        `${row.amendment_no}  ${row.made_at}  ${row.made_by}: ${row.action} ${amendmentWords(String(row.payload))} (${row.reason})${row.undone_by === null ? '' : ` undone by ${row.undone_by}`}\n`,
      )
  return 0
}

/** What an amendment says, in the words of the command that made it: `drop 12-345 volume_gal = 1020`. */
export function amendmentWords(text: string): string {
  const payload = JSON.parse(text) as Readonly<Record<string, unknown>>
  const rows = (numbers: unknown): string =>
    [numbers]
      .flat(2)
      .map((one) => obsName(Number(one)))
      .join(' ')
  return Object.entries(payload)
    .map(([name, value]) => {
      if (name === 'obs_no' || name === 'obs') return rows(value)
      if (name === 'value') return `= ${value ?? 'unknown'}`
      return String(value)
    })
    .join(' ')
}
