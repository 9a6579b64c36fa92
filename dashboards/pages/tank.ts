import { findingActions } from '../amendments/finding-state.ts'
import { type LifeRow, tankLife } from '../charts/tank-life.ts'
import type { Context } from '../context.ts'
import { h } from '../h.ts'
import type { Page } from '../page.ts'
import { evidenceRefs } from '../parts/evidence-refs.ts'
import { tankFamily } from '../parts/family.ts'
import { chartFigure } from '../parts/figure.ts'
import { onThatDay, standingOf } from '../parts/standing.ts'
import { empty } from '../parts/states.ts'
import { statusMark } from '../parts/status.ts'
import { table } from '../parts/table.ts'
import { ofTank } from '../parts/tank-choice.ts'
import { type Row, textOf } from '../rows.ts'
import { bySoonest, type Due, dueTable } from './due-table.ts'
import { burnDowns, cycles } from './tanks.ts'

interface FindingRow {
  finding: string
  severity: string
  subject: string
  happened_at: string | null
  message: string
  evidence: readonly string[] | null
  tank: string | null
  state: string | null
}

/** What the record of who sat where can have wrong with it. */
const genealogy = [
  'tank-in-two-places',
  'mounting-overlap',
  'fitting-overlap',
  'fitting-gap',
  'no-mounting',
  'aircraft-in-two-places',
]

/** The tank's context: the filter's tank, whether it was named or is the only one. */
const withTank = (context: Context, tank: string): Context =>
  context.filters.tank === tank ? context : context.narrowed({ filters: { tank } })

export const tank: Page = {
  name: 'tank',
  title: 'A tank’s life',
  lead: tankFamily,
  sections: [
    {
      question: 'Where has it been, and what was in it?',
      needs: ['tank-life'],
      answer: (context) =>
        ofTank(
          context,
          async (tank) => {
            const own = withTank(context, tank)
            const [life, findings] = await Promise.all([lifeOf(own), findingsOf(own, tank)])
            if (!life.length)
              return empty(`Nothing is on record of tank ${tank}.`, 'Check the serial number.')
            const marked = findings
              .filter((row) => row.happened_at && row.severity !== 'note')
              .map((row) => momentOf(row, tank, life))
            const rows = [...life, ...marked].sort((a, b) => a.from_at.localeCompare(b.from_at))
            return [
              chartFigure(tankLife, rows, own),
              h(
                'p',
                {},
                h(
                  'a',
                  { href: own.link({ page: 'conversion', evidence: null }) },
                  `Conversion sheet of ${tank}`,
                ),
              ),
            ]
          },
          true,
        ),
    },
    {
      question: 'What in its record does not fit together?',
      needs: ['findings'],
      answer: (context) =>
        ofTank(context, async (tank) => {
          const own = withTank(context, tank)
          const rows = await findingsOf(own, tank)
          const place = (row: FindingRow): number => (genealogy.includes(row.finding) ? 0 : 1)
          const list = rows
            .filter((row) => row.severity !== 'note' || genealogy.includes(row.finding))
            .sort((a, b) => place(a) - place(b) || (b.happened_at ?? '').localeCompare(a.happened_at ?? ''))
          const isWhole = !list.some((row) => genealogy.includes(row.finding))
          return [
            isWhole
              ? h(
                  'p',
                  {},
                  `Mountings and fittings of ${tank} neither overlap nor leave a gap that it opened in.`,
                )
              : null,
            list.length
              ? table(
                  list,
                  {
                    caption: 'Findings about it: who sat where first',
                    name: 'findings',
                    query: 'findings',
                    columns: ['severity', 'finding', 'happened_at', 'message', 'evidence', 'state', 'decide'],
                    limit: 12,
                    cells: {
                      severity: (row: Row) => statusMark(textOf(row.severity)),
                      evidence: (row: Row) => evidenceRefs(row.evidence, own),
                      state: (row: Row) => statusMark(textOf(row.state) || 'open'),
                      decide: (row: Row) => findingActions(row, own),
                    },
                  },
                  own,
                )
              : null,
          ]
        }),
    },
    {
      question: 'How was each count made up?',
      needs: ['tank-cycles', 'count-events'],
      answer: (context) => ofTank(context, (tank) => cycles(withTank(context, tank), false)),
    },
    {
      question: 'How far is it from its limits?',
      needs: ['burn-down'],
      answer: (context) => ofTank(context, (tank) => burnDowns(withTank(context, tank), 6)),
    },
    {
      question: 'What falls due on it?',
      needs: ['inspections-due'],
      answer: (context) =>
        ofTank(context, async (tank) => {
          const own = withTank(context, tank)
          const rows = await own.query<Due>('inspections-due', onThatDay(own))
          return rows.length
            ? dueTable([...rows].sort(bySoonest), `All limits of ${tank} and what is fitted to it`, own, 20)
            : empty('No inspection task applies to it.')
        }),
    },
  ],
}

/** Its life up to the day that the page stands on: what lasted longer is open, what came later is not there yet. */
async function lifeOf(context: Context): Promise<LifeRow[]> {
  const { day } = standingOf(context)
  const rows = await context.query<LifeRow>('tank-life', { from: '', to: day })
  return rows.filter((row) => row.from_at !== null)
}

async function findingsOf(context: Context, tank: string): Promise<FindingRow[]> {
  const [rows, life] = await Promise.all([
    context.query<FindingRow>('findings', { tank }),
    context.query<LifeRow>('tank-life', { from: '' }),
  ])
  const items = new Set([`tank:${tank}`, ...life.map((row) => `component:${row.item}`)])
  const { day } = standingOf(context)
  return rows.filter(
    (row) =>
      (row.tank === tank || (row.evidence ?? []).some((one) => items.has(one))) &&
      (row.happened_at === null || row.happened_at.slice(0, 10) <= day),
  )
}

/** A finding on the time line: at the place of its component, where it is about one. */
function momentOf(row: FindingRow, tank: string, life: readonly LifeRow[]): LifeRow {
  const component = (row.evidence ?? [])
    .find((one) => one.startsWith('component:'))
    ?.slice('component:'.length)
  const fitted = life.find((one) => one.what === 'fitting' && one.item === component)
  return {
    tank,
    what: 'finding',
    item: fitted?.item ?? tank,
    kind: fitted?.kind ?? 'tank',
    position: fitted?.position ?? null,
    aircraft: null,
    from_at: row.happened_at!,
    to_at: null,
    openings: null,
    detail: `${row.finding}: ${row.message}`,
    evidence: row.evidence?.[0] ?? null,
  }
}
