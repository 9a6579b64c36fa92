import { ticketFiller, ticketWords, ticketZeros } from '../identifiers.ts'
import { quote } from './write.ts'

export const identifierMacros = [
  // See `normalizeAircraft`.
  `CREATE OR REPLACE MACRO val.name_key(name) AS regexp_replace(upper(name), '[^\\p{L}\\p{N}]+', '', 'g')`,
  // See `ticketKey`.
  `CREATE OR REPLACE MACRO val.ticket_key(ticket) AS nullif(regexp_replace(regexp_replace(regexp_replace(upper(ticket),
    ${quote(`[${ticketFiller}]+`)}, '', 'g'), ${quote(ticketWords)}, '\\1'), ${quote(ticketZeros)}, '\\1\\2', 'g'), '')`,
]
