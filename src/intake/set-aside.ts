import type { Warehouse } from '../warehouse/index.ts'
import { lineNumber } from './plan.ts'

/**
 * Notes in `obs.corrected` which quarantined lines a person has set aside: nothing in them is missing from the account
 * (a sum, a note, a line that was entered by hand since), so they wait for nobody. They count as superseded while the
 * amendment stands. A line that can be read later counts as any other.
 */
export async function markSetAside(warehouse: Warehouse): Promise<void> {
  await warehouse.run(`
    UPDATE obs.corrected SET by_amendment = said.amendment_no
    FROM (
      SELECT c.file_no, c.line, max(a.amendment_no) AS amendment_no FROM obs.corrected c
      LEFT JOIN raw.amendment a ON a.action = 'set-aside' AND a.undone_by IS NULL
        AND (a.payload->>'obs_no')::BIGINT // 16 = (${lineNumber}) // 16
      GROUP BY ALL
    ) said
    WHERE obs.corrected.file_no = said.file_no AND obs.corrected.line = said.line
      AND obs.corrected.by_amendment IS DISTINCT FROM said.amendment_no`)
}
