/** What a report can leave as: a page that prints, paper, or a workbook. */
export const reportFormats = {
  html: 'text/html; charset=utf-8',
  pdf: 'application/pdf',
  xlsx: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
} as const

export type ReportFormat = keyof typeof reportFormats
