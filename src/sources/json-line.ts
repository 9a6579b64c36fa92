export type JsonObject = Record<string, unknown>

/** The object on a line, or why there is none. Whole numbers too long for a double come as text, digit for digit. */
export function readObject(text: string): JsonObject | string {
  const read = parse(/\d{16}/.test(text) ? longNumbersQuoted(text) : text) ?? parse(text)
  if (read === undefined) return 'the line is not JSON'
  if (typeof read !== 'object' || read === null || Array.isArray(read)) return 'the line is not a JSON object'
  return read as JsonObject
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}

/** Texts are passed over, so that digits inside them stay what they are. */
function longNumbersQuoted(text: string): string {
  const token = /"(?:[^"\\]|\\.)*"|-?\d{16,}(?![\d.eE])/g
  return text.replace(token, (found) => (found.startsWith('"') ? found : `"${found}"`))
}

/** A value as a cell: text as it is, numbers as their shortest text, nothing for null, JSON for lists and objects. */
export function jsonCell(value: unknown): string {
  if (value === null || value === undefined) return ''
  if (typeof value === 'string') return value
  if (typeof value === 'object') return JSON.stringify(value)
  return String(value)
}
