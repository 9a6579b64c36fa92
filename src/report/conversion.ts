import { plural } from '../../dashboards/charts/words.ts'
import { shown, unitOf } from '../../dashboards/units.ts'
import type { ResultRow } from '../catalogue/index.ts'
import { type Answer, type Asking, tableOf } from './asking.ts'
import { type ReportContent, type Section, text } from './block.ts'
import { definitions } from './definitions.ts'
import type { Look } from './look.ts'
import { planningAid } from './maintenance.ts'

/** Sections of the sheet, in the order of the sheet, with the columns that each has a use for. */
const sections: readonly (readonly [string, string, readonly string[]])[] = [
  ['tank', 'Tank', ['tank', 'what', 'value', 'unit', 'detail']],
  ['airframes', 'Airframes served', ['tank', 'item', 'detail', 'what', 'value']],
  [
    'before service',
    'Due before it may go back in service',
    ['tank', 'item', 'position', 'what', 'value', 'unit', 'due', 'status', 'detail'],
  ],
  [
    'counts',
    'Counts, and since the last inspection',
    ['tank', 'item', 'position', 'detail', 'what', 'value', 'unit', 'since'],
  ],
  ['last work', 'Last work', ['tank', 'item', 'position', 'what', 'due', 'value', 'detail']],
  ['open findings', 'Open findings', ['tank', 'what', 'due', 'status', 'detail']],
  ['release accuracy', 'Release accuracy over the season', ['tank', 'what', 'value', 'unit', 'detail']],
  ['drift', 'Drift over the season', ['tank', 'what', 'status', 'value', 'unit', 'due', 'detail']],
  ['later', 'Due later', ['tank', 'item', 'position', 'what', 'value', 'unit', 'due', 'detail']],
]

/** One document for the conversion of a tank (or of each): what it is, has counted, and needs before it serves again. */
export async function conversionReport(asking: Asking, subtitle: string): Promise<ReportContent> {
  let summary = 'No tank is on record.'
  let parts: Section[] = []
  const blocks = await asking.blocks(
    'conversion-sheet',
    (answer) => {
      summary = summaryOf(answer.rows)
      const rows = answer.rows.map((row) => inUnits(row, asking.look.units))
      parts = sections.map(([name, title, columns]) => partOf({ ...answer, rows }, name, title, columns))
      return [
        tableOf(
          answer,
          'The whole sheet',
          answer.columns.map((column) => column.name),
          { isOffPaper: true },
        ),
      ]
    },
    { nothing: 'No tank is on record; check the serial number.' },
  )
  return {
    title: 'Conversion sheet',
    subtitle,
    summary,
    cautions: [planningAid],
    sections: [
      ...parts,
      { title: 'The whole sheet', blocks },
      definitions('Counters', 'Due dates', 'Door cycle', 'Operating day'),
    ],
    questions: [...asking.questions.values()],
  }
}

function partOf(answer: Answer, name: string, title: string, columns: readonly string[]): Section {
  const rows = answer.rows.filter((row) => row.section === name)
  return {
    title,
    blocks:
      rows.length > 0
        ? [tableOf({ ...answer, rows }, title, columns, { name })]
        : [text('Nothing on record.')],
  }
}

/** A volume of the sheet in the units of the report. */
function inUnits(row: ResultRow, units: Look['units']): ResultRow {
  if (row.unit !== 'gal' || typeof row.value !== 'number') return row
  return { ...row, value: shown(row.value, 'volume', units), unit: unitOf('volume', units) }
}

function summaryOf(rows: readonly ResultRow[]): string {
  const tanks = [...new Set(rows.map((row) => String(row.tank)))]
  const count = (section: string): number => rows.filter((row) => row.section === section).length
  return `${tanks.length === 1 ? `Tank ${tanks[0]}` : plural(tanks.length, 'tank')}: ${plural(count('before service'), 'limit')} to look at before service, ${plural(count('open findings'), 'open finding')}.`
}
