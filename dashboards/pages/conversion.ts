import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import type { Page, Section } from '../page.ts'
import { evidenceLink } from '../parts/cells.ts'
import { countCells } from '../parts/count-cells.ts'
import { tankFamily } from '../parts/family.ts'
import { reportLinks } from '../parts/report-links.ts'
import { onThatDay } from '../parts/standing.ts'
import { empty } from '../parts/states.ts'
import { statusMark } from '../parts/status.ts'
import { table } from '../parts/table.ts'
import { ofTank } from '../parts/tank-choice.ts'
import { numberOf, type Row, textOf } from '../rows.ts'
import { figure, quantity } from '../units.ts'

interface SheetRow {
  section: string
  tank: string
  item: string
  position: string | null
  since: number | null
  what: string
  value: number | null
  unit: string | null
  detail: string | null
  status: string | null
}

const season = ({ filters }: Context): Record<string, string> =>
  filters.season ? { season: filters.season } : {}
const sheet = (context: Context, tank: string): Promise<SheetRow[]> =>
  context.query<SheetRow>('conversion-sheet', { ...onThatDay(context), ...season(context), tank })

/** A part of the sheet as a table. */
function part(
  question: string,
  name: string,
  columns: readonly string[],
  none: string,
  cells: (context: Context) => Record<string, (row: Row) => Child> = () => ({}),
): Section {
  return {
    question,
    needs: ['conversion-sheet'],
    answer: (context) =>
      ofTank(context, async (tank) => {
        const rows = (await sheet(context, tank)).filter((row) => row.section === name)
        return rows.length
          ? table(
              rows,
              {
                caption: question.replace(/\?$/, ''),
                name: `conversion-${name.replace(' ', '-')}`,
                query: 'conversion-sheet',
                columns,
                limit: 60,
                cells: { ...shared(context), ...cells(context) },
              },
              context,
            )
          : empty(none)
      }),
  }
}

const shared = (context: Context): Record<string, (row: Row) => Child> => ({
  item: (row) => {
    const item = textOf(row.item)
    return evidenceLink(context, item === row.tank ? 'tank' : 'component', item, item)
  },
  value: (row) => {
    const value = numberOf(row.value)
    if (row.unit === 'gal') return quantity(value, 'volume', context.address.units)
    return value === null
      ? '—'
      : `${figure(value, row.unit === 'percent' ? 'percent' : 'count', 'us')}${row.unit && row.unit !== 'count' ? ` ${textOf(row.unit).replace('percent', '%')}` : ''}`
  },
  status: (row) => (row.status ? statusMark(textOf(row.status)) : null),
})

const counters = ['door-cycles', 'openings', 'retardant-openings', 'fills', 'mounted-hours']

/** One row per part: its counters side by side. */
function itemRows(rows: readonly SheetRow[]): Record<string, string | number | null>[] {
  const items = new Map<string, Record<string, string | number | null>>()
  for (const row of rows) {
    const own = items.get(row.item) ?? {
      item: row.item,
      position: row.position,
      kind: row.detail,
      tank: row.tank,
      since_done: null,
    }
    if (counters.includes(row.what)) own[row.what.replace('-', '_')] = row.value
    if (row.since !== null)
      own.since_done = [own.since_done, `${figure(row.since, 'count', 'us')} ${row.what}`]
        .filter(Boolean)
        .join(', ')
    items.set(row.item, own)
  }
  return [...items.values()]
}

export const conversion: Page = {
  name: 'conversion',
  title: 'Conversion sheet',
  lead: tankFamily,
  sections: [
    {
      question: 'Which tank is it, and which airframes has it served?',
      needs: ['conversion-sheet'],
      answer: (context) =>
        ofTank(
          context,
          async (tank) => {
            const rows = await sheet(context, tank)
            const self = rows.find((row) => row.section === 'tank')
            if (!self) return empty(`Tank ${tank} is not on record.`, 'Check the serial number.')
            const airframes = rows.filter((row) => row.section === 'airframes')
            const before = rows.filter((row) => row.section === 'before service').length
            return [
              h(
                'p',
                { class: 'lead' },
                `Tank ${tank}: ${quantity(self.value, 'volume', context.address.units)}, ${self.detail ?? ''}. ${before} limits to look at before it serves again.`,
              ),
              reportLinks('conversion', { tank, ...onThatDay(context), ...season(context) }),
              airframes.length
                ? table(
                    airframes.map((row) => ({
                      aircraft: row.item,
                      mounted: row.detail,
                      openings: row.value,
                    })),
                    {
                      caption: 'Airframes served, with the openings while mounted',
                      name: 'conversion-airframes',
                      columns: ['aircraft', 'mounted', 'openings'],
                      sortable: false,
                    },
                    context,
                  )
                : empty('No mounting is on record.'),
            ]
          },
          true,
        ),
    },
    part(
      'What is due before it may go back in service?',
      'before service',
      ['item', 'position', 'what', 'status', 'value', 'due', 'detail'],
      'No limit is reached or inside its planning horizon.',
    ),
    {
      question: 'What has each part counted, and since its last inspection?',
      needs: ['conversion-sheet'],
      answer: (context) =>
        ofTank(context, async (tank) => {
          const rows = (await sheet(context, tank)).filter((row) => row.section === 'counts')
          if (!rows.length) return empty('Nothing is counted.')
          const counts = countCells(context)
          const cell = (counter: string) => (row: Row) =>
            counts.total!({ item: row.item!, counter, total: row[counter.replace('-', '_')] ?? null })
          return table(
            itemRows(rows),
            {
              caption:
                'Counts of what is fitted, each open to the events behind it; since last done: by the counters that a task of the part limits',
              name: 'conversion-counts',
              columns: [
                'item',
                'position',
                'kind',
                ...counters.map((one) => one.replace('-', '_')),
                'since_done',
              ],
              limit: 60,
              cells: {
                item: shared(context).item!,
                ...Object.fromEntries(counters.map((one) => [one.replace('-', '_'), cell(one)])),
              },
            },
            context,
          )
        }),
    },
    part(
      'What was done last?',
      'last work',
      ['item', 'position', 'what', 'due', 'value', 'detail'],
      'No work is on record.',
    ),
    part(
      'Which findings are open?',
      'open findings',
      ['status', 'what', 'due', 'detail'],
      'No finding is open.',
    ),
    part(
      'Does it still release what is set?',
      'release accuracy',
      ['what', 'value', 'detail'],
      'No measured release in the season.',
    ),
    part(
      'Has it drifted?',
      'drift',
      ['what', 'status', 'value', 'due', 'detail'],
      'No drift alarm in the season.',
    ),
    part(
      'What falls due later?',
      'later',
      ['item', 'position', 'what', 'value', 'due', 'detail'],
      'Nothing falls due later.',
    ),
  ],
}
