import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { evidenceRefs } from '../parts/evidence-refs.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'
import type { Row } from '../rows.ts'
import { dayText } from '../times.ts'
import { figure } from '../units.ts'

interface CountEvent {
  adds: number
  part: string
}

/** What a count is made of: `item/counter/part/day`, event by event, each with the record behind it. */
export async function countEvidence(id: string, context: Context): Promise<{ title: string; body: Child }> {
  const [day = '', part = 'total', counter = '', ...rest] = id.split('/').reverse()
  const item = rest.reverse().join('/')
  const rows = await context.api.query<CountEvent>('count-events', {}, { item, counter, part, as_of: day })
  const sum = rows.reduce((total, row) => total + row.adds, 0)
  const title = `${item}: ${counter}, ${part.replace('_', ' ')}`
  if (!rows.length) return { title, body: empty('No event stands behind this.') }
  const inferred = rows.filter((row) => row.part === 'inferred').length
  return {
    title,
    body: [
      h(
        'p',
        {},
        h('b', {}, figure(sum, 'count', 'us')),
        ` by ${dayText(day, true)}, from ${rows.length === 1 ? 'one entry' : `${rows.length} entries`}`,
        inferred ? `; ${inferred} of them inferred from the balance of a load` : '',
        '. Each opens to the lines that attest it.',
      ),
      table(
        rows,
        {
          caption: 'Event by event',
          name: `${item}-${counter}-${part}`,
          query: 'count-events',
          columns: ['day', 'evidence', 'adds', 'reached', 'part', 'purpose', 'aircraft', 'volume_gal'],
          limit: 60,
          cells: { evidence: (row: Row) => evidenceRefs(row.evidence, context) },
        },
        context,
      ),
    ],
  }
}
