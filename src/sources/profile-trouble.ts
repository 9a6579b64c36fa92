import type { z } from 'zod'
import { suggest } from '../values/index.ts'
import { problem, type SourceProblem } from './problem.ts'

/** A hint behind a mistyped name: ` (did you mean 'volume'?)`, or nothing when no name is near. */
export function didYouMean(written: string, names: readonly string[]): string {
  const near = suggest(written, names)
  return near && near.score >= 0.6 ? ` (did you mean '${near.best}'?)` : ''
}

/** `['records', 0, 'fields', 'volume']` → `records[0].fields.volume`. */
export function jsonPath(path: readonly PropertyKey[]): string {
  return path
    .map((step) => (typeof step === 'number' ? `[${step}]` : `.${String(step)}`))
    .join('')
    .replace(/^\./, '')
}

/** Lists the choices when they are few enough to read. */
function choices(names: readonly string[]): string {
  return names.length > 14 ? '' : ` (one of ${names.join(', ')})`
}

/** What is wrong with one spot of a profile, in words, with the nearest name for a mistyped one. */
export function describeIssue(
  issue: z.core.$ZodIssue,
  known: (path: readonly PropertyKey[]) => string[],
): string {
  const at = jsonPath(issue.path)
  const where = at === '' ? 'the profile' : at
  if (issue.code === 'unrecognized_keys') {
    const names = known(issue.path)
    return issue.keys.map((key) => `${where} has no '${key}'${didYouMean(key, names)}`).join('; ')
  }
  if (issue.code === 'invalid_value') {
    const names = issue.values.map(String)
    return `${where} must be ${names.length > 1 ? `one of ${names.join(', ')}` : `'${names[0]}'`}${didYouMean(String(issue.input ?? ''), names)}`
  }
  if (issue.code === 'invalid_union') {
    const names = known(issue.path)
    if (issue.path.at(-1) === 'kind') {
      const given = issue.input
      const written = typeof given === 'object' && given !== null && 'kind' in given ? String(given.kind) : ''
      return written === ''
        ? `${where} is missing`
        : `${where} is '${written}', which is no record kind${didYouMean(written, names)}${choices(names)}`
    }
    const inner = issue.errors.flat()
    const closest = inner.find((each) => each.path.length > 0 || each.code === 'unrecognized_keys')
    if (closest)
      return describeIssue({ ...closest, path: [...issue.path, ...closest.path] } as z.core.$ZodIssue, known)
    return issue.input === undefined ? `${where} is missing` : `${where} has the wrong form`
  }
  if (issue.code === 'invalid_type' && issue.input === undefined) return `${where} is missing`
  if (issue.code === 'invalid_type') return `${where} must be ${article(issue.expected)}`
  return `${where} ${issue.message}`
}

function article(type: string): string {
  const names: Record<string, string> = {
    object: 'an object',
    array: 'a list',
    string: 'a text',
    record: 'an object',
  }
  return names[type] ?? `a ${type}`
}

/** Line of the only place where a name stands in quotes in the profile's text, else null. */
export function lineOf(text: string, name: string | undefined): number | null {
  if (name === undefined) return null
  const quoted = JSON.stringify(name)
  const at = text.indexOf(quoted)
  if (at < 0 || text.indexOf(quoted, at + 1) >= 0) return null
  return text.slice(0, at).split('\n').length
}

/** The problem of a profile that is no JSON, with the line at which reading stopped. */
export function syntaxTrouble(path: string, text: string): SourceProblem {
  const fix = 'correct the JSON at this line: look for a missing comma, quotation mark or bracket'
  if (text.trim() === '') return problem(path, 'the profile is empty', 'write a profile, or remove the file')
  const at = validLength(text)
  const line = text.slice(0, at).split('\n').length
  const reason = at < text.length ? `'${text[at]}' is not expected here` : 'it ends too early'
  return problem(path, `the profile is not JSON: ${reason}`, fix, line)
}

/** Length of the longest beginning of the text that could still become JSON. */
function validLength(text: string): number {
  let low = 0
  let high = text.length
  while (low < high) {
    const middle = Math.ceil((low + high) / 2)
    if (mayGoOn(text.slice(0, middle))) low = middle
    else high = middle - 1
  }
  return low
}

function mayGoOn(text: string): boolean {
  try {
    JSON.parse(text)
    return true
  } catch (error) {
    const { message } = error as Error
    return /end of JSON input|Unterminated/.test(message) || stopsAt(message) >= text.length
  }
}

function stopsAt(message: string): number {
  return Number(/position (\d+)/.exec(message)?.[1] ?? -1)
}
