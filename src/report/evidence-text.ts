import type { Cell } from '../warehouse/index.ts'

const shownOf = 4

/** Evidence of an invoice line as a reader of paper needs it: records by their ids, lines of logs by their count. */
export function evidenceText(evidence: Cell | undefined): string | null {
  if (!Array.isArray(evidence) || evidence.length === 0) return null
  const ids: string[] = []
  let logLines = 0
  for (const one of evidence.map(String)) {
    const place = one.indexOf(':')
    const [kind, id] = [one.slice(0, place), one.slice(place + 1)]
    if (kind === 'obs') logLines++
    else if (kind === 'invoice-line') {
      const [, invoice, line] = id.split('/')
      ids.push(`line ${line} of ${invoice}`)
    } else ids.push(id)
  }
  const named = ids.slice(0, shownOf)
  if (ids.length > shownOf) named.push(`${ids.length - shownOf} more`)
  if (logLines > 0) named.push(`${logLines} ${logLines === 1 ? 'line' : 'lines'} of the logs`)
  return named.join(', ')
}
