import type { Context } from './context.ts'
import type { Child } from './h.ts'

/** One question of a page and what answers it. */
export interface Section {
  /** As the reader would ask it. */
  readonly question: string
  /** Queries without which there is no answer: missing ones are named instead. */
  readonly needs: readonly string[]
  /** Half of a row on wide pages. */
  readonly half?: boolean
  answer(context: Context): Child | Promise<Child>
}

export interface Page {
  readonly name: string
  readonly title: string
  /** What stands above the questions: which other pages belong here, and what all answers rest on. */
  lead?(context: Context): Child
  readonly sections: readonly Section[]
}
