import { dayNumber } from './day.ts'

/** Work that is planned, or a part that is to be replaced by a new one. Days are day numbers. */
export interface PlannedWork {
  task: string
  item: string
  day: number
}
export interface PlannedSwap {
  item: string
  day: number
}

/** A plan that cannot be read: what, and how to write it. */
export class PlanProblem extends Error {}

/** `task@item@YYYY-MM-DD; …`. @throws PlanProblem. */
export function readPlannedWork(text: string | null): PlannedWork[] {
  return parts(text).map((part) => {
    const match = /^(.+?)\s*@\s*(.+?)\s*@\s*(\S+)$/.exec(part)
    const day = match && dayOf(match[3]!)
    if (!match || day === null)
      throw new PlanProblem(
        `done=${part} is no planned work; write it as task@item@2026-08-15, several separated by ;`,
      )
    return { task: match[1]!, item: match[2]!, day }
  })
}

/** `item@YYYY-MM-DD; …`. @throws PlanProblem. */
export function readPlannedSwaps(text: string | null): PlannedSwap[] {
  return parts(text).map((part) => {
    const match = /^(.+?)\s*@\s*(\S+)$/.exec(part)
    const day = match && dayOf(match[2]!)
    if (!match || day === null)
      throw new PlanProblem(
        `swap=${part} is no planned replacement; write it as item@2026-08-15, several separated by ;`,
      )
    return { item: match[1]!, day }
  })
}

/** `2027-05-15..2027-10-10; …`: seasons in which use is expected, by first and last day. @throws PlanProblem. */
export function readPlannedWindows(text: string | null): { from: number; to: number }[] {
  return parts(text)
    .map((part) => {
      const match = /^(\S+?)\s*\.\.\s*(\S+)$/.exec(part)
      const from = match && dayOf(match[1]!)
      const to = match && dayOf(match[2]!)
      if (!match || from === null || to === null || to < from)
        throw new PlanProblem(
          `window=${part} is no season; write it as 2027-05-15..2027-10-10, first day then last, several separated by ;`,
        )
      return { from, to }
    })
    .sort((a, b) => a.from - b.from)
}

const parts = (text: string | null): string[] =>
  (text ?? '')
    .split(';')
    .map((part) => part.trim())
    .filter((part) => part !== '')

function dayOf(text: string): number | null {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return null
  const day = dayNumber(text)
  return Number.isFinite(day) && new Date(day * 86_400_000).toISOString().startsWith(text) ? day : null
}
