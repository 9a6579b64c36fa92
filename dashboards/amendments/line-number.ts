const linesOfFile = 2 ** 32
const recordsOfLine = 16

/** The number under which amendments keep a line that questions call `12-345`; null for anything else. */
export function lineNumber(name: string): number | null {
  const [, file, line] = /^(\d+)-(\d+)$/.exec(name) ?? []
  return file && line ? Number(file) * linesOfFile + Number(line) * recordsOfLine : null
}

/** The other way round. */
export function lineName(number: number): string {
  return `${Math.floor(number / linesOfFile)}-${Math.floor((number % linesOfFile) / recordsOfLine)}`
}
