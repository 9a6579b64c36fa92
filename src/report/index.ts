export type { ReportParams } from './asking.ts'
export type { ReportContent } from './block.ts'
export { makeReport, Report, type ReportKind, type ReportSource, reportKinds } from './report.ts'
export { findBrowser, PrintingFailed } from './to-pdf.ts'
