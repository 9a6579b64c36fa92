import type { Context } from '../context.ts'
import { evidenceLink } from '../parts/cells.ts'
import { longTable } from '../parts/long-table.ts'
import { textOf } from '../rows.ts'
import { timeText } from '../times.ts'

/** The drops that the filters leave, each opening to its evidence. */
export function dropList(
  caption: string,
  columns: readonly string[],
  context: Context,
): Promise<HTMLElement> {
  return longTable(
    {
      caption,
      name: 'drops',
      query: 'drops',
      columns,
      none: 'No drop in this selection.',
      cells: {
        dropped_at: (row) =>
          evidenceLink(
            context,
            'drop',
            textOf(row.drop),
            timeText(textOf(row.dropped_at), context.address.zone),
          ),
      },
    },
    context,
  )
}
