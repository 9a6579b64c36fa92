import type { ColumnKind, Question, ResultRow } from '../catalogue/index.ts'

/** Rows of one question, shown as a table; on paper only the first `rowLimit` of them. */
export type TableBlock = {
  is: 'table'
  /** The question, and the name of its worksheet. */
  name: string
  caption: string
  columns: TableColumn[]
  rows: ResultRow[]
  /** A last line, such as sums. */
  total?: ResultRow
  rowLimit?: number
  /** In the workbook only: too long for paper. */
  isOffPaper?: boolean
}

export type TableColumn = { name: string; kind: ColumnKind; about: string }

/** A drawing with its finding, its caption and a text for who cannot see it. */
export type ChartBlock = { is: 'chart'; finding: string; caption: string; description: string; svg: string }

/** Charts of the same kind, two beside each other. */
export type PairBlock = { is: 'pair'; charts: ChartBlock[] }

/** The few figures that a reader wants first. */
export type FiguresBlock = { is: 'figures'; figures: Figure[] }

export type Figure = { label: string; value: string; note: string }

export type TextBlock = { is: 'text' | 'caution' | 'absent' | 'term'; text: string; term?: string }

/** Room to sign, one line for each party. */
export type SignBlock = { is: 'sign'; parties: string[] }

export type Block = TableBlock | ChartBlock | PairBlock | FiguresBlock | TextBlock | SignBlock

export type Section = { title: string; blocks: Block[]; startsPage?: boolean }

/** A report before it has a form: paper, page or workbook. */
export type ReportContent = {
  title: string
  subtitle: string
  /** One paragraph under the title. */
  summary: string
  cautions: string[]
  /** On landscape paper: its tables have many columns. */
  isWide?: boolean
  sections: Section[]
  /** The questions that were asked, for the sheet that explains the workbook. */
  questions: Question[]
}

export const text = (body: string): TextBlock => ({ is: 'text', text: body })
export const term = (name: string, body: string): TextBlock => ({ is: 'term', term: name, text: body })
export const absent = (body: string): TextBlock => ({ is: 'absent', text: body })
