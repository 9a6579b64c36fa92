export { Catalogue, type CatalogueOptions, loadCatalogue } from './catalogue.ts'
export { type ColumnKind, kindOf, type ResultColumn, scaleOf } from './column-kind.ts'
export { readQuestion } from './header.ts'
export { manualOfQuestions } from './manual.ts'
export { editDistance, nearest } from './nearest.ts'
export { checkParams, type GivenParams, isDay } from './params.ts'
export type { Preparation } from './preparation.ts'
export { type ProblemCode, QueryProblem } from './problem.ts'
export {
  commonParams,
  type ParamType,
  type Question,
  type QuestionColumn,
  type QuestionParam,
} from './question.ts'
export { Result, type ResultRow } from './result.ts'
export type { Page, Rows } from './rows.ts'
export { csvCell } from './to-csv.ts'
export type { TableOptions } from './to-table.ts'
export { type SheetColumn, sheetName, typedSheet, type XlsxAbout } from './to-xlsx.ts'
