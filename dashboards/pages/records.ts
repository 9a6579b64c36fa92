import { aliasButton, giveAlias } from '../amendments/alias.ts'
import { amendedRefs, amendmentText } from '../amendments/amendment-text.ts'
import { findingActions } from '../amendments/finding-state.ts'
import { noteOn } from '../amendments/invoice-note.ts'
import { reopenSeason } from '../amendments/reopen-season.ts'
import { setAsideButton } from '../amendments/set-aside.ts'
import { undoButton } from '../amendments/undo.ts'
import { type CompletenessRow, completenessGrid } from '../charts/completeness-grid.ts'
import type { Context } from '../context.ts'
import { h } from '../h.ts'
import type { Page } from '../page.ts'
import { evidenceLink } from '../parts/cells.ts'
import { chosen } from '../parts/chosen.ts'
import { evidenceRefs } from '../parts/evidence-refs.ts'
import { chartFigure } from '../parts/figure.ts'
import { longTable } from '../parts/long-table.ts'
import { empty } from '../parts/states.ts'
import { statusMark } from '../parts/status.ts'
import { table } from '../parts/table.ts'
import { aboveFolder, folderOf } from '../paths.ts'
import { type Row, textOf } from '../rows.ts'
import { dayText } from '../times.ts'
import { dropList } from './drop-list.ts'

interface FindingRow {
  finding: string
  severity: string
  finding_id?: string
  state?: string | null
}

interface ClosedRow {
  season: string
  is_closed: boolean
  closed_at: string
  closed_by: string
}

const rank = ['error', 'warning', 'note']

export const records: Page = {
  name: 'records',
  title: 'Records & findings',
  sections: [
    {
      question: 'What must somebody look at?',
      needs: ['findings'],
      async answer(context) {
        const rows = await context.query<FindingRow>('findings')
        if (!rows.length) return empty('Nothing stands out in this selection.')
        const sorted = [...rows].sort(
          (a, b) =>
            Number((a.state ?? 'open') !== 'open') - Number((b.state ?? 'open') !== 'open') ||
            rank.indexOf(a.severity) - rank.indexOf(b.severity),
        )
        const actions = rows.some((row) => row.finding_id) ? ['state', 'decide'] : []
        const draw = (part: readonly FindingRow[]): HTMLElement =>
          table(
            part,
            {
              caption: 'Findings: open and grave first',
              name: 'findings',
              query: 'findings',
              columns: ['severity', 'finding', 'message', ...actions, 'evidence', 'happened_at'],
              limit: 25,
              cells: {
                severity: (row) => statusMark(textOf(row.severity)),
                evidence: (row) => evidenceRefs(row.evidence, context),
                state: (row) => statusMark(textOf(row.state) || 'open'),
                decide: (row) => [findingActions(row, context), ' ', aliasButton(row, context)],
              },
            },
            context,
          )
        const by = [
          ['severity', 'Severity'],
          ['finding', 'Kind'],
          ...(actions.length ? [['state', 'State'] as const] : []),
        ] as const
        return chosen(sorted, by, draw, 'findings')
      },
    },
    {
      question: 'Who has not reported?',
      needs: ['completeness'],
      async answer(context) {
        const rows = await context.query<CompletenessRow>('completeness')
        return rows.length
          ? chartFigure(completenessGrid, rows, context)
          : empty('Every flying day has been reported.')
      },
    },
    {
      question: 'What arrived, and what became of each row?',
      needs: ['arrivals'],
      async answer(context) {
        const rows = await context.query<{ path: string }>('arrivals')
        // A file that came by itself, through the page, has no folder.
        const folder = folderOf(rows.map((row) => row.path).filter((path) => path.includes('/')))
        return rows.length
          ? [
              h(
                'p',
                { class: 'law' },
                'Every row is accounted for: read = accepted + duplicate + superseded + quarantined.',
              ),
              table(
                rows,
                {
                  caption: 'Files in order of arrival',
                  name: 'arrivals',
                  query: 'arrivals',
                  columns: [
                    'path',
                    'profile',
                    'arrived_at',
                    'read',
                    'accepted',
                    'duplicate',
                    'superseded',
                    'quarantined',
                  ],
                  limit: 25,
                  cells: { path: (row) => fileLink(row, folder, context) },
                },
                context,
              ),
            ]
          : empty(
              onDays(context, 'arrivals')
                ? 'No file arrived on these days. What arrived on others stands here without the filter.'
                : 'No file has arrived.',
            )
      },
    },
    {
      question: 'Which rows could not be read?',
      needs: ['quarantine'],
      answer: (context) =>
        longTable(
          {
            caption:
              'Rows in quarantine: cured by an alias, a registry row, a better profile or a mended file',
            name: 'quarantine',
            query: 'quarantine',
            none: onDays(context, 'quarantine')
              ? 'No row that arrived on these days is in quarantine. Others stand here without the filter.'
              : 'No row is in quarantine.',
            columns: ['file', 'line', 'profile', 'field', 'text', 'reason', 'cure'],
            cells: {
              cure: (row) => [aliasButton(row, context), ' ', setAsideButton(row, context)],
              file: (row) => fileLink({ path: textOf(row.file) }, aboveFolder(textOf(row.file)), context),
            },
          },
          context,
        ),
    },
    {
      question: 'Whose clock was off?',
      needs: ['clock-offsets'],
      half: true,
      async answer(context) {
        const rows = await context.query<{ offset_min: number | null }>('clock-offsets')
        const off = rows
          .filter((row) => Math.abs(row.offset_min ?? 0) >= 2)
          .sort((a, b) => Math.abs(b.offset_min!) - Math.abs(a.offset_min!))
        return off.length
          ? table(
              off,
              {
                caption: 'Clocks off by two minutes or more',
                name: 'clock-offsets',
                query: 'clock-offsets',
                columns: ['witness', 'aircraft', 'day', 'offset_min', 'pairs'],
                limit: 12,
                cells: { day: (row) => thatDay(row, context) },
              },
              context,
            )
          : empty(
              rows.length
                ? 'Every clock kept within two minutes of the common one.'
                : 'No clock could be compared.',
            )
      },
    },
    {
      question: 'What is to be put right?',
      needs: [],
      half: true,
      async answer(context) {
        const seasons = (await context.maybe<ClosedRow>('closed-seasons')) ?? []
        const closed = seasons.filter((row) => row.is_closed)
        const action = (id: string, label: string, act: () => unknown): HTMLElement =>
          h('li', {}, h('button', { type: 'button', class: 'plain', id, onclick: act }, label))
        return [
          h(
            'p',
            {},
            'Every correction is a record of its own, with a reason and a name; nothing is edited in place. A field, a merge or a split is amended from the evidence of its record.',
          ),
          h(
            'ul',
            { class: 'choices' },
            action('do-alias', 'Give another name', () => void giveAlias(context)),
            action('do-note', 'Note on an invoice line', () => noteOn(context)),
            closed.length
              ? action('do-reopen', 'Re-open a closed season', () =>
                  reopenSeason(
                    closed.map((row) => row.season),
                    context,
                  ),
                )
              : null,
          ),
          closed.map((row) =>
            h(
              'p',
              { class: 'units' },
              `Season ${row.season} is closed since ${dayText(row.closed_at, true)} by ${row.closed_by}: late rows of it go to quarantine.`,
            ),
          ),
        ]
      },
    },
    {
      question: 'What has been amended, and can it be taken back?',
      needs: ['amendments'],
      async answer(context) {
        const rows = await context.query<object>('amendments')
        return rows.length
          ? table(
              rows,
              {
                caption: 'Amendments, the newest first; they are replayed on every rebuild',
                name: 'amendments',
                query: 'amendments',
                columns: ['amendment_no', 'made_at', 'made_by', 'does', 'evidence', 'reason', 'undo'],
                limit: 12,
                cells: {
                  does: (row) => amendmentText(row),
                  evidence: (row) => evidenceRefs(amendedRefs(row), context),
                  undo: (row) => undoButton(row, context),
                },
              },
              context,
            )
          : empty(
              onDays(context, 'amendments')
                ? 'No amendment was made on these days. What was amended on others, of records of any day, stands here without the filter.'
                : 'Nothing has been amended.',
            )
      },
    },
    {
      question: 'Where does a record of mine stand?',
      needs: ['drops'],
      answer: (context) =>
        dropList(
          'Drops of every purpose, with their witnesses',
          ['dropped_at', 'drop', 'aircraft', 'tank', 'fire', 'volume_gal', 'purpose', 'witnesses', 'status'],
          context,
        ),
    },
  ],
}

/** A day of one aircraft, as a link that narrows this page to it: whose lines were moved by the clock stands in its records. */
function thatDay(row: Row, context: Context): HTMLElement {
  const day = textOf(row.day).slice(0, 10)
  const filters = { aircraft: textOf(row.aircraft), from: day, to: day }
  return h('a', { href: context.link({ filters }), title: 'What is on record of that day' }, day)
}

/** Whether days are chosen. Files, rows that wait and amendments are chosen by the day they came or were made. */
const onDays = ({ filters, api }: Context, query: string): boolean => {
  const params = api.queries.get(query)?.params ?? []
  return (['season', 'from', 'to'] as const).some((name) => filters[name] && params.includes(name))
}

/** The folder that all files came from, so that no row repeats it. */
function fileLink(row: Row, folder: string, context: Context): HTMLElement {
  const path = textOf(row.path)
  return evidenceLink(context, 'file', path, path.startsWith(folder) ? path.slice(folder.length) : path)
}
