/** Key of an aircraft name: letter case, spaces, dashes, dots and slashes do not matter. */
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

/** Key of a loading ticket: no letter case, spaces, dashes or leading zeros. */
export function ticketKey(text: string): string {
  return text
    .toUpperCase()
    .replace(/[\s#._/\-–—]+/g, '')
    .replace(/^(?:NO|TICKET|TKT)(?=[0-9])/, '')
    .replace(/^0+(?=.)/, '')
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
