import type { FoundFile } from './found-file.ts'
import { headerKey, tidyHeader } from './header.ts'
import type { Peek, ViewRow } from './peek.ts'
import { problem, type SourceProblem } from './problem.ts'
import type { Profile } from './profile.ts'
import { didYouMean } from './profile-trouble.ts'

/** Characters of one cell that a message shows. */
const longestShown = 40

/** Says of a file that fits no profile which one is nearest, and what is missing for it. */
export function unknownHeaders(file: FoundFile, peek: Peek, profiles: readonly Profile[]): SourceProblem {
  const fix = `propose a profile with: gallonage profile draft ${file.path}`
  let nearest: { profile: Profile; row: ViewRow; missing: string[]; share: number } | null = null
  for (const profile of profiles) {
    for (const view of peek.views(profile)) {
      for (const row of view.rows.slice(0, 25)) {
        const missing = profile.headers.filter((header) => !row.keys.has(headerKey(header)))
        const share = (profile.headers.length - missing.length) / profile.headers.length
        if (share > (nearest?.share ?? 0)) nearest = { profile, row, missing, share }
      }
    }
  }
  if (nearest) {
    const { profile, row, missing } = nearest
    const names = missing.map((header) => `'${header}'`).join(', ')
    const seen = row.cells.map(tidyHeader).filter((cell) => cell !== '')
    const hint =
      missing.length === 1
        ? didYouMean(missing[0]!, seen).replace(/did you mean (.*)\?/, 'perhaps it is $1')
        : ''
    const what = `the headers fit no profile; the nearest is '${profile.name}', which also needs ${names}${hint}`
    return problem(file.path, what, fix, row.line || null)
  }
  const row = likelyHeader(peek)
  const shown = row.cells
    .map(tidyHeader)
    .filter((cell) => cell !== '')
    .slice(0, 8)
    .map((cell) => (cell.length > longestShown ? `${cell.slice(0, longestShown)}…` : cell))
  const line = row.line || null
  if (peek.container === 'text' && /\.xls[xmb]?$/i.test(file.path))
    return problem(
      file.path,
      'the file is called a workbook and is none',
      'save it again as .xlsx, or as CSV',
    )
  if (peek.container === 'jsonl' && shown.length === 0)
    return problem(
      file.path,
      'no line at the start of the file is a JSON object',
      'write one whole JSON object a line, or send it again if it was cut short',
    )
  return problem(file.path, `the headers fit no profile: ${shown.join(', ')}`, fix, line)
}

/** The first row with as many named cells as any of the first rows has, in the way of seeing that gives the most. */
export function likelyHeader(peek: Peek): ViewRow {
  const empty: ViewRow = { cells: [], keys: new Set(), line: 1, span: 1 }
  return peek
    .views(null)
    .flatMap(({ rows }) => rows.slice(0, 25))
    .reduce((best, row) => (row.keys.size > best.keys.size ? row : best), empty)
}
