import type { Paperwork } from './contracts.ts'
import { fileOf, type Row, type SeasonFile } from './files.ts'
import { cents } from './money.ts'

const table = (path: string, headers: string, rows: readonly object[]): SeasonFile =>
  fileOf(path, { format: 'csv', headers: headers.split(',') }, rows as Row[])

/** Contracts, prices, availability and one file per invoice, under canonical headers. */
export function paperFiles(papers: Paperwork): SeasonFile[] {
  const { contracts, rates, lines, availability } = papers
  const invoices = [...new Set(lines.map((line) => line.invoice))].sort()
  return [
    table(
      'contracts/contract.csv',
      'number,starts_on,ends_on,aircraft,currency,volume_tolerance_pct,hours_step,hours_rounding,hours_per,emergency_rule',
      contracts.map((one) => ({
        ...one,
        aircraft: one.aircraft.join(';'),
        currency: 'USD',
        hours_rounding: 'half-up',
      })),
    ),
    table(
      'contracts/rate.csv',
      'contract,item,fluid,unit_price,from_quantity,to_quantity,starts_on,ends_on',
      rates,
    ),
    table('contracts/availability.csv', 'aircraft,day,status,contract', availability),
    ...invoices.map((invoice) =>
      table(
        `invoices/${invoice}.csv`,
        'invoice,line,contract,item,aircraft,from_on,to_on,ticket,fluid,quantity,unit_price,amount',
        lines
          .filter((line) => line.invoice === invoice)
          .map((line) => ({ ...line, amount: cents(line.amount) })),
      ),
    ),
  ]
}
