import { parseAccept } from 'hono/utils/accept'

export type Format = 'json' | 'csv' | 'arrow' | 'xlsx' | 'parquet'

export const mediaTypes: Readonly<Record<Format, string>> = {
  json: 'application/json',
  csv: 'text/csv',
  arrow: 'application/vnd.apache.arrow.stream',
  xlsx: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
  parquet: 'application/vnd.apache.parquet',
}

/** Formats that are read in pages. */
export const pagedFormats: ReadonlySet<Format> = new Set(['json', 'csv'])

export function isFormat(text: string): text is Format {
  return Object.hasOwn(mediaTypes, text)
}

/** The format that an `Accept` header prefers (RFC 9110 §12.5.1), or null when it takes none of ours. */
export function acceptedFormat(header: string | undefined): Format | null {
  if (!header) return 'json'
  const ranges = parseAccept(header).map(({ type, q }) => ({ type: type.toLowerCase(), q }))
  let best: { format: Format; q: number } | null = null
  for (const [format, media] of Object.entries(mediaTypes) as [Format, string][]) {
    const q = qualityOf(media, ranges)
    if (q > (best?.q ?? 0)) best = { format, q }
  }
  return best?.format ?? null
}

/** The most specific range that fits decides. */
function qualityOf(media: string, ranges: readonly { type: string; q: number }[]): number {
  const [main] = media.split('/')
  for (const wanted of [media, `${main}/*`, '*/*']) {
    const range = ranges.find(({ type }) => type === wanted)
    if (range) return range.q
  }
  return 0
}
