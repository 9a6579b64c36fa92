import type { Catalogue } from '../catalogue/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { Asking, type ReportParams } from './asking.ts'
import type { ReportContent } from './block.ts'
import { contractReport } from './contract.ts'
import { conversionReport } from './conversion.ts'
import type { ReportKind } from './kinds.ts'
import { type Look, plainLook } from './look.ts'
import { maintenanceReport } from './maintenance.ts'
import { seasonReport } from './season.ts'
import { statementReport } from './statement.ts'
import { type Imprint, toHtml } from './to-html.ts'
import { toPdf } from './to-pdf.ts'
import { toXlsx } from './to-xlsx.ts'
import { workListReport } from './work-list.ts'

const makers: Record<ReportKind, (asking: Asking, subtitle: string) => Promise<ReportContent>> = {
  season: seasonReport,
  maintenance: maintenanceReport,
  contract: contractReport,
  statement: statementReport,
  'work-list': workListReport,
  conversion: conversionReport,
}

export type ReportSource = {
  catalogue: Catalogue
  warehouse: Warehouse
  /** As for queries: season, from, to, aircraft, tank, base, fire, fluid, as_of; each question takes those that it has. */
  params: ReportParams
  fingerprint: string
  madeAt: Date
  version: string
  /** Units and clock; US units and UTC unless given. */
  look?: Look
}

/** A report, ready to leave as a page, as paper or as a workbook. */
export class Report {
  readonly content: ReportContent
  readonly imprint: Imprint

  constructor(content: ReportContent, imprint: Imprint) {
    this.content = content
    this.imprint = imprint
  }

  toHtml(): string {
    return toHtml(this.content, this.imprint)
  }

  /** @throws PrintingFailed when there is no browser to print with. */
  toPdf(env?: Readonly<Record<string, string | undefined>>): Promise<Uint8Array> {
    return toPdf(this.toHtml(), env)
  }

  toXlsx(): Promise<Uint8Array> {
    return toXlsx(this.content, this.imprint)
  }
}

/** Asks the questions of a report. @throws QueryProblem when a param makes no sense. */
export async function makeReport(kind: ReportKind, source: ReportSource): Promise<Report> {
  checkParams(source)
  const look = source.look ?? plainLook
  const asking = new Asking(source.catalogue, source.warehouse, source.params, look)
  const content = await makers[kind](asking, subtitleOf(source.params))
  return new Report(content, {
    fingerprint: source.fingerprint,
    madeAt: source.madeAt,
    version: source.version,
    look,
  })
}

/** A param that no question has, or a bad value, is an error of the report and not of each of its parts. */
function checkParams({ catalogue, params }: ReportSource): void {
  for (const [name, value] of Object.entries(params)) {
    const taking = catalogue.list().find((question) => question.params.some((param) => param.name === name))
    catalogue.check(taking?.name ?? 'gallons-by-fire', { [name]: value })
  }
}

const labels: Readonly<Record<string, string>> = {
  season: 'season',
  from: 'from',
  to: 'to',
  as_of: 'as of',
}

function subtitleOf(params: ReportParams): string {
  const parts = Object.entries(params)
    .filter(([, value]) => value !== null && value !== undefined && value !== '')
    .map(([name, value]) => `${labels[name] ?? name} ${value}`)
  const all = parts.join(', ')
  return all === '' ? 'All records' : all.charAt(0).toUpperCase() + all.slice(1)
}
