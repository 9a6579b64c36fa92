/** Key of an aircraft name: letter case, spaces, dashes, dots and slashes do not matter. `val.name_key` is the same in SQL. */
export function normalizeAircraft(text: string): string {
  return text.toUpperCase().replace(/[^\p{L}\p{N}]+/gu, '')
}

/**
 * A registration key without its nationality letters, or `null` if none can be taken off: `N123AB` → `123AB`,
 * `C-GABC` → `GABC`. Only the shapes of ICAO Annex 7 marks with one or two leading letters that are tried here.
 */
export function registrationWithoutNation(text: string): string | null {
  const key = normalizeAircraft(text)
  const numbered = /^(?:N|[A-Z]{2}|[A-Z])([0-9][0-9A-Z]*)$/.exec(key)
  if (numbered) return numbered[1]!
  const dashed = /^\s*[A-Za-z0-9]{1,2}\s*-\s*([A-Za-z0-9]{2,})\s*$/.exec(text)
  if (dashed) return normalizeAircraft(dashed[1]!)
  return /^C[FGI][A-Z]{3}$/.test(key) ? key.slice(1) : null
}

/** Key of a call number without a leading `T`, `TKR`, `TNKR`, `Tanker` or `AT`, and without leading zeros. */
export function callNumberKey(text: string): string {
  const key = normalizeAircraft(text)
  const bare = /^(?:TANKER|TNKR|TKR|AT|T)0*([0-9][0-9A-Z]*)$/.exec(key)
  return bare ? bare[1]! : key.replace(/^0+(?=[0-9])/, '')
}

/** What a ticket's key leaves out wherever it stands; a character class body for JavaScript and RE2 alike. */
export const ticketFiller = String.raw`\s\x{a0}#._/\-\x{2013}\x{2014}`
/** Words in front of a ticket's number that are no part of it. */
export const ticketWords = '^(?:NO|TICKET|TKT)([0-9])'
/** Leading zeros, also those behind a letter, but for a last digit. */
export const ticketZeros = '(^|[^0-9])0+([0-9A-Z])'

const filler = new RegExp(`[${ticketFiller.replaceAll(/\\x\{([0-9a-f]+)\}/g, '\\u{$1}')}]+`, 'gu')
const words = new RegExp(ticketWords)
const zeros = new RegExp(ticketZeros, 'g')

/**
 * Key of a loading ticket: without letter case, spaces, dashes and leading zeros, also those behind a letter: `T-0045`
 * is `t45`. `null` when nothing is left. The one definition: `val.ticket_key` is the same in SQL.
 */
export function ticketKey(text: string): string | null {
  const bare = text.toUpperCase().replace(filler, '').replace(words, '$1')
  return bare.replace(zeros, '$1$2') || null
}

/** Key of a fire number: no letter case, spaces, dashes or a leading country prefix `US-`; zeros stay. */
export function fireNumberKey(text: string): string {
  return text.toUpperCase().replace(/[\s#._/\-–—]+/g, '')
}

/**
 * True for a United States registration: N and one to five characters, at most the last one or two letters, no I
 * or O, no leading zero. Source: FAA, "Forming an N-Number" (faa.gov, aircraft registry pages).
 */
export function isUnitedStatesRegistration(text: string): boolean {
  return /^N[1-9](\d{0,4}|\d{0,3}[A-HJ-NP-Z]|\d{0,2}[A-HJ-NP-Z]{2})$/.test(text)
}
