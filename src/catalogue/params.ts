import type { Param, Params } from '../warehouse/index.ts'
import { nearest } from './nearest.ts'
import { QueryProblem } from './problem.ts'
import type { Question, QuestionParam } from './question.ts'

/** What a person wrote, by param name; an empty text counts as not given. */
export type GivenParams = Readonly<Record<string, string | number | null | undefined>>

/**
 * Checks what was given against what the question takes; every param of the question is in the answer, unset ones as null.
 * @throws QueryProblem `unknown-param` or `bad-param`.
 */
export function checkParams(question: Question, given: GivenParams): Params {
  const names = question.params.map((param) => param.name)
  for (const name of Object.keys(given)) {
    if (names.includes(name)) continue
    const near = nearest(name, names)
    const takes = names.length > 0 ? `it takes ${names.join(', ')}` : 'it takes none'
    throw new QueryProblem(
      'unknown-param',
      `${question.name} has no param ${name}; ${near ? `did you mean ${near}? ` : ''}${takes}`,
      near,
    )
  }
  return Object.fromEntries(
    question.params.map((param) => [param.name, readParam(question, param, given[param.name])]),
  )
}

/** Letters of a text: room for a plan of some dozens of steps. */
const LONGEST = 2000

function readParam(
  question: Question,
  param: QuestionParam,
  written: string | number | null | undefined,
): Param {
  const text = written === null || written === undefined ? '' : String(written).trim()
  if (text === '') return null
  if (param.type === 'day' && !isDay(text)) {
    throw bad(question, param, text, 'is not a day; write it as 2026-07-04')
  }
  if (param.type === 'number') {
    const number = Number(text)
    if (!Number.isFinite(number)) throw bad(question, param, text, 'is not a number; write it as 1250.5')
    return number
  }
  if (text.length > LONGEST)
    throw bad(question, param, `${text.slice(0, 20)}…`, `is longer than ${LONGEST} letters`)
  return text
}

/** A day that is in the calendar, as YYYY-MM-DD. */
export function isDay(text: string): boolean {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return false
  const time = Date.parse(`${text}T00:00:00Z`)
  return Number.isFinite(time) && new Date(time).toISOString().startsWith(text)
}

function bad(question: Question, param: QuestionParam, text: string, reason: string): QueryProblem {
  return new QueryProblem('bad-param', `${question.name}: ${param.name}=${text} ${reason}`)
}
