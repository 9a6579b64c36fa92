import { type BurnDownRow, burnDown } from '../../dashboards/charts/burn-down.ts'
import { type DueRow, dueWindows } from '../../dashboards/charts/due-windows.ts'
import { plural } from '../../dashboards/charts/words.ts'
import { figure } from '../../dashboards/units.ts'
import type { ResultRow } from '../catalogue/index.ts'
import { type Asking, tableOf } from './asking.ts'
import { type Block, type ReportContent, type Section, text } from './block.ts'
import { chartOf, chartsOf } from './chart.ts'
import { countsByTank } from './counts-by-tank.ts'
import { definitions } from './definitions.ts'
import { countTable } from './quality.ts'

/** Stands beside every due list. */
export const planningAid =
  'This is a planning aid. The approved inspection programme, the maintenance manual and licensed staff decide.'

const urgency = ['overdue', 'in-tolerance', 'due', 'no-baseline', 'plan', 'ok']

/** What a maintenance planner takes to the conversion: counts by item, and what falls due when. */
export async function maintenanceReport(asking: Asking, subtitle: string): Promise<ReportContent> {
  const { summary, section } = await due(asking)
  return {
    title: 'Maintenance report',
    subtitle,
    summary,
    cautions: [planningAid],
    sections: [
      section,
      await cycles(asking),
      await unrecorded(asking),
      await reported(asking),
      definitions('Counters', 'Door cycle', 'Due dates', 'Canonical record', 'Operating day'),
    ],
    questions: [...asking.questions.values()],
  }
}

async function due(asking: Asking): Promise<{ summary: string; section: Section }> {
  let summary = 'The counts below are what the records hold; no inspection task is on record.'
  const blocks = await asking.blocks(
    'inspections-due',
    async (answer) => {
      const burning = await burnDowns(asking)
      const rows = [...answer.rows].sort((a, b) => rank(a) - rank(b) || order(a).localeCompare(order(b)))
      const governing = rows.filter((row) => row.governs === true)
      summary = sentence(governing)
      const near = governing.filter((row) => row.status !== 'ok' || row.due_on_p50 !== null)
      const sorted = { ...answer, rows: near }
      const columns = [
        'task',
        'item',
        'counter',
        'limit_at',
        'total',
        'remaining',
        'due_on_p10',
        'due_on_p50',
        'due_on_p90',
        'status',
        'counted_through',
        'since_last',
      ]
      return [
        text(summary),
        chartOf(dueWindows, governing as unknown as DueRow[], asking.look),
        ...burning,
        tableOf(sorted, 'Limits that govern: the one of each task and item that comes first', columns, {
          name: 'inspections-due',
        }),
        ...(near.length < governing.length
          ? [
              text(
                `${plural(governing.length - near.length, 'limit')} more ${governing.length - near.length === 1 ? 'is' : 'are'} too far off for a day to be told; the workbook of this report has them under “all limits”.`,
              ),
            ]
          : []),
        tableOf(
          { ...answer, rows },
          'All limits',
          [
            ...columns,
            'governs',
            'title',
            'tolerance_at',
            'horizon',
            'reason',
            'last_done_on',
            'is_life_limit',
            'triggered_by',
          ],
          {
            name: 'all limits',
            isOffPaper: true,
          },
        ),
        { is: 'caution', text: planningAid },
      ]
    },
    { nothing: 'No inspection task is on record.' },
  )
  return { summary, section: { title: 'What falls due', blocks } }
}

/** The counted limits that come soonest and are still open, as on the page: what is left of each, and the fan ahead. */
async function burnDowns(asking: Asking): Promise<Block[]> {
  const rowsOf = async (name: string): Promise<BurnDownRow[]> =>
    ((await asking.ask(name))?.rows ?? []) as unknown as BurnDownRow[]
  const groups = new Map<string, BurnDownRow[]>()
  const key = (row: BurnDownRow): string => `${row.item} ${row.task}`
  for (const row of await rowsOf('burn-down')) groups.set(key(row), [...(groups.get(key(row)) ?? []), row])
  for (const row of await rowsOf('burn-down-ahead')) groups.get(key(row))?.push({ ...row, total: null })
  const isOpen = (rows: readonly BurnDownRow[]): boolean =>
    rows.some((row) => row.left_middle !== undefined && row.left_middle !== null)
  const nearest = [...groups.values()]
    .sort(
      (a, b) =>
        Number(isOpen(b)) - Number(isOpen(a)) ||
        (a[0]!.due_on_p50 ?? '9').localeCompare(b[0]!.due_on_p50 ?? '9'),
    )
    .slice(0, 4)
  return nearest.length > 0 ? [chartsOf(burnDown, nearest, asking.look)] : []
}

function rank(row: ResultRow): number {
  const place = urgency.indexOf(String(row.status))
  return place < 0 ? urgency.length : place
}

function order(row: ResultRow): string {
  return `${row.due_on_p50 ?? '9999'} ${row.item} ${row.task}`
}

function sentence(rows: readonly ResultRow[]): string {
  const count = (...states: string[]): number =>
    rows.filter((row) => states.includes(String(row.status))).length
  const shown = (value: number): string => figure(value, 'count', 'us')
  return `Of ${plural(rows.length, 'task')} on items: ${shown(count('overdue'))} overdue, ${shown(count('due', 'in-tolerance'))} due or in tolerance, ${shown(count('plan'))} inside the planning horizon, ${shown(count('no-baseline'))} that cannot be computed for want of a baseline.`
}

const byPlace = (a: ResultRow, b: ResultRow): number => place(a).localeCompare(place(b))
const place = (row: ResultRow): string => `${row.tank ?? '\uffff'} ${row.position ?? ''} ${row.item}`

async function cycles(asking: Asking): Promise<Section> {
  const columns = [
    'item',
    'kind',
    'tank',
    'position',
    'counter',
    'baseline',
    'recorded',
    'counted',
    'inferred',
    'assumed',
    'total',
    'since_last',
    'counted_through',
  ]
  return {
    title: 'Counts by item',
    blocks: await asking.blocks(
      'tank-cycles',
      (answer) => {
        const tanks = answer.rows.filter((row) => row.kind === 'tank')
        const doors = answer.rows.filter((row) => row.kind !== 'tank' && row.counter === 'door-cycles')
        return [
          countsByTank(tanks),
          tableOf(
            { ...answer, rows: tanks },
            'Tanks',
            columns.filter((name) => name !== 'kind' && name !== 'position'),
            { name: 'tanks', isOffPaper: true },
          ),
          tableOf(
            { ...answer, rows: [...doors].sort(byPlace) },
            'Door cycles of components, by the tank and door that they are fitted to',
            columns.filter((name) => name !== 'counter'),
            { name: 'door cycles' },
          ),
          tableOf(answer, 'All counters', columns, { name: 'tank-cycles', isOffPaper: true }),
          { is: 'caution', text: planningAid },
        ]
      },
      { nothing: 'No tank is on record.' },
    ),
  }
}

async function unrecorded(asking: Asking): Promise<Section> {
  return {
    title: 'Releases that nobody wrote down',
    blocks: await asking.blocks(
      'tank-balance',
      (answer) => {
        const rows = answer.rows.filter((row) => row.finding !== null)
        const lead = `${figure(rows.length, 'count', 'us')} of ${figure(answer.rows.length, 'count', 'us')} load cycles do not balance.`
        if (rows.length === 0) return [text(lead)]
        return [
          text(`${lead} Where fluid left a tank unrecorded, openings are inferred and counted.`),
          tableOf(
            { ...answer, rows },
            'Load cycles that do not balance',
            ['tank', 'opened_at', 'loaded_gal', 'dropped_gal', 'offloaded_gal', 'residual_gal', 'finding'],
            { rowLimit: 60 },
          ),
        ]
      },
      { nothing: 'No load cycle is on record.' },
    ),
  }
}

async function reported(asking: Asking): Promise<Section> {
  return {
    title: 'Who has not reported',
    blocks: await asking.blocks(
      'completeness',
      (answer) => {
        const silent = answer.rows.filter((row) => row.events === 0)
        if (silent.length === 0) return [text('Every aircraft that flew has reported.')]
        return [
          text(
            `Counts may be short where a witness is silent: ${figure(silent.length, 'count', 'us')} aircraft-days.`,
          ),
          countTable(
            'completeness',
            'Days with flights and nothing from a witness',
            ['aircraft', 'witness'],
            silent,
          ),
        ]
      },
      { nothing: 'Every aircraft that flew has reported.' },
    ),
  }
}
