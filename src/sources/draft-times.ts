import { readTime } from '../values/index.ts'

const dates = [
  '%Y-%m-%d',
  '%m/%d/%Y',
  '%d/%m/%Y',
  '%m/%d/%y',
  '%d/%m/%y',
  '%d %b %Y',
  '%d-%b-%Y',
  '%d-%b-%y',
  '%d %b %y',
  '%d.%m.%Y',
  '%d.%m.%y',
  '%Y/%m/%d',
  '%m-%d-%Y',
  '%b %d %Y',
  '%b %d, %Y',
  '%Y%m%d',
]
const times = ['%H:%M:%S', '%H:%M', '%H%M', '%I:%M %p', '%I:%M%p', '%H%M%S', '%H.%M', '%H:%M:%S.%f', '%H%Mh']

export interface TimeGuess {
  /** In the order in which they should be tried; empty when ISO 8601 reads everything. */
  formats: string[]
  /** Samples that none of them reads. */
  unread: string[]
  /** True when day and month could be the other way round for every sample. */
  isAmbiguous: boolean
  /** True when every sample carries its offset from UTC. */
  hasOffset: boolean
}

/** Formats that read these samples of a time, best first. Only what the samples show can be known. */
export function guessTimes(samples: readonly string[]): TimeGuess {
  const hasOffset = samples.length > 0 && samples.every((text) => /(Z|[+-]\d{2}:?\d{2})$/i.test(text.trim()))
  const iso = samples.filter((text) => !readTime(text, { zone: 'UTC' }).ok)
  if (iso.length === 0) return { formats: [], unread: [], isAmbiguous: false, hasOffset }
  const numeric = numericFormat(samples)
  if (numeric)
    return { formats: [numeric], unread: [], isAmbiguous: false, hasOffset: numeric !== 'excel_serial' }
  const formats: string[] = []
  let unread = [...samples]
  let isAmbiguous = false
  while (unread.length > 0 && formats.length < 4) {
    const scores = candidates().map((format) => ({
      format,
      left: unread.filter((text) => !reads(text, format)),
    }))
    const best = scores.reduce((a, b) => (b.left.length < a.left.length ? b : a))
    if (best.left.length === unread.length) break
    const other = swapped(best.format)
    if (other && scores.some(({ format, left }) => format === other && left.length === best.left.length))
      isAmbiguous = true
    formats.push(best.format)
    unread = best.left
  }
  return { formats, unread, isAmbiguous, hasOffset }
}

function* separators(): Generator<string> {
  yield ' '
  yield 'T'
}

function candidates(): string[] {
  return [...separators()].flatMap((separator) =>
    dates.flatMap((date) => times.map((time) => `${date}${separator}${time}`)),
  )
}

function reads(text: string, format: string): boolean {
  return readTime(text, { formats: [format], zone: 'UTC' }).ok
}

function swapped(format: string): string | null {
  if (format.startsWith('%m/%d')) return format.replace('%m/%d', '%d/%m')
  if (format.startsWith('%d/%m')) return format.replace('%d/%m', '%m/%d')
  return null
}

function numericFormat(samples: readonly string[]): string | null {
  const all = (pattern: RegExp) => samples.every((text) => pattern.test(text.trim()))
  if (all(/^\d{10}(\.\d+)?$/)) return 'epoch_s'
  if (all(/^\d{13}$/)) return 'epoch_ms'
  if (all(/^[3-6]\d{4}(\.\d+)?$/)) return 'excel_serial'
  return null
}
