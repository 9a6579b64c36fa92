import { plural } from '../../dashboards/charts/words.ts'
import type { ResultRow } from '../catalogue/index.ts'
import { type Answer, type Asking, tableOf } from './asking.ts'
import { absent, type ReportContent, type Section, text } from './block.ts'
import { definitions } from './definitions.ts'
import { planningAid } from './maintenance.ts'

const columns = [
  'task',
  'title',
  'item',
  'position',
  'counter',
  'limit_at',
  'total',
  'remaining',
  'due_on_p50',
  'status',
  'is_reason',
  'done_on',
  'reading',
  'signed_by',
]

/** What is to be done when each tank is open, visit by visit, with room to sign. */
export async function workListReport(asking: Asking, subtitle: string): Promise<ReportContent> {
  let sections: Section[] = []
  const blocks = await asking.blocks(
    'work-list',
    (answer) => {
      sections = visitsOf(answer)
      return [tableOf(answer, 'All visits', ['visit_on', 'tank', ...columns], { isOffPaper: true })]
    },
    { nothing: 'No task falls due within a year.' },
  )
  const problem = blocks.find((block) => block.is === 'absent')
  const first = sections[0]
  return {
    title: 'Work list',
    subtitle,
    summary: first
      ? `${plural(sections.length, 'visit')} within a year; the first: ${first.title.replace('Tank', 'tank')}.`
      : 'No visit is planned.',
    cautions: [planningAid],
    sections: [
      ...sections,
      { title: 'All visits', blocks: problem ? [problem] : blocks },
      definitions('Due dates', 'Counters', 'Operating day'),
    ],
    questions: [...asking.questions.values()],
  }
}

/** One table for each visit of a tank, in the order of the days. */
function visitsOf(answer: Answer): Section[] {
  const visits = new Map<string, ResultRow[]>()
  for (const row of answer.rows) {
    const key = `Tank ${row.tank} on ${row.visit_on}`
    visits.set(key, [...(visits.get(key) ?? []), row])
  }
  return [...visits].map(([title, rows]) => ({
    title,
    blocks:
      rows.length > 0
        ? [
            text(`Asked for by ${reasons(rows)}; the rest can be done while the tank is open.`),
            tableOf({ ...answer, rows }, title, columns, { name: title }),
          ]
        : [absent('Nothing.')],
  }))
}

const reasons = (rows: readonly ResultRow[]): string =>
  rows
    .filter((row) => row.is_reason === true)
    .map((row) => `${row.task} on ${row.item}`)
    .join(', ')
