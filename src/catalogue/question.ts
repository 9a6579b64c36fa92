export type ParamType = 'text' | 'day' | 'number'

export type QuestionParam = { name: string; type: ParamType; about: string }

export type QuestionColumn = { name: string; about: string }

/** A named question: one SELECT with the comment that describes it. */
export type Question = {
  name: string
  title: string
  /** What one row stands for. */
  grain: string
  params: QuestionParam[]
  columns: QuestionColumn[]
  /** Method and cautions, one sentence or paragraph each. */
  notes: string[]
  /** The preparation that fills the tables that the statement reads, or null. */
  needs: string | null
  sql: string
  file: string
  /** False for a query that a user brought along. */
  isBuiltIn: boolean
}

/** The params that every query shares, with their meaning. */
export const commonParams: Readonly<Record<string, { type: ParamType; about: string }>> = {
  season: { type: 'text', about: 'season name, or its year' },
  from: { type: 'day', about: 'first operating day, included (YYYY-MM-DD)' },
  to: { type: 'day', about: 'last operating day, included (YYYY-MM-DD)' },
  aircraft: { type: 'text', about: 'registration' },
  tank: { type: 'text', about: 'tank serial number' },
  base: { type: 'text', about: 'base code' },
  fire: { type: 'text', about: 'fire number, or unattributed' },
  fluid: { type: 'text', about: 'water, retardant, gel or foam' },
  as_of: {
    type: 'day',
    about: 'every event of this operating day or earlier (YYYY-MM-DD); today unless given',
  },
  invoice: { type: 'text', about: 'invoice number' },
  contract: { type: 'text', about: 'contract number' },
  drop: { type: 'text', about: 'drop, by its id' },
  latest: { type: 'number', about: 'so many of the newest' },
  one: { type: 'text', about: 'first group of a comparison; every group unless given' },
  other: { type: 'text', about: 'second group of a comparison; all the others unless given' },
  against: { type: 'text', about: 'season to compare with, name or year; the one before unless given' },
  by: { type: 'text', about: 'what the groups are made by' },
  every: { type: 'number', about: 'days between forecasts; 7 unless given' },
  ahead: { type: 'number', about: 'days looked ahead; 30 unless given' },
  item: { type: 'text', about: 'serial of a tank or component' },
  counter: { type: 'text', about: 'counter of the item, such as openings or door-cycles' },
  part: {
    type: 'text',
    about: 'part of the count: baseline, recorded, counted, inferred, assumed, since_last or total',
  },
  window: {
    type: 'text',
    about: 'season to come: YYYY-MM-DD..YYYY-MM-DD, first day then last, several separated by ;',
  },
  per_day: { type: 'number', about: 'expected openings a day of each tank in the season' },
  done: { type: 'text', about: 'planned work: task@item@YYYY-MM-DD, several separated by ;' },
  swap: { type: 'text', about: 'planned replacement by a new part: item@YYYY-MM-DD, several separated by ;' },
  seed: { type: 'number', about: 'where simulated futures start from; the same seed gives the same dates' },
}
