import { readDurationMonthsOrNumber } from '../values/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import type { EarlyPolicy, Step } from './due-point.ts'

/** Work on record: count in the limit's counter (null: before the baseline, or a calendar limit), day number, reading. */
export interface WorkDone {
  day: number
  ms: number
  count: number | null
  reading: number | null
}

/** One limit of one task for one item, with what it is counted from. Days are day numbers. */
export interface Limit {
  limitNo: number
  task: string
  title: string | null
  item: string
  kind: string
  tank: string
  position: string | null
  counter: string
  step: Step | null
  firstStep: Step | null
  tolerance: number
  early: EarlyPolicy
  isLifeLimit: boolean
  triggeredBy: string | null
  within: number
  /** True for the limit that its task's readings are held against. */
  isRead: boolean
  /** False for door cycles of what sits at no door. */
  isCounted: boolean
  total: number | null
  isBeforeBaseline: boolean
  /** Day on which the item came to its place, or its count was last read off as a baseline; null: from the beginning. */
  sinceDay: number | null
  /** Zero of a calendar limit. */
  zeroDay: number | null
  extendedTo: number | null
  authority: string | null
  expiresDay: number | null
  trigger: { day: number; evidence: string | null; count: number | null } | null
  work: WorkDone[]
}

/** Longer calendar intervals are no different from none, and their days are none that a calendar has. */
const longestDays = 999_990

/** Reads what applies to whom (temp tables of `limits.sql` and `counts.sql` are there) in two statements. */
export async function readLimits(warehouse: Warehouse): Promise<Limit[]> {
  const read = await warehouse.columns(await warehouse.readStage('maintenance/read-limits'))
  const text = (name: string) => read.text(name)
  const number = (name: string) => {
    const column = read.numbers(name)
    return (row: number): number | null => (Number.isNaN(column[row]!) ? null : column[row]!)
  }
  const steps = new Map<string | null, Step | null>([[null, null]])
  const stepOf = (written: string | null): Step | null => {
    if (!steps.has(written)) steps.set(written, readStep(written!))
    return steps.get(written)!
  }
  const names = [
    'task',
    'title',
    'item',
    'kind',
    'tank',
    'position',
    'counter',
    'step',
    'first_step',
  ] as const
  const [task, title, item, kind, tank, position, counter, step, firstStep] = names.map(text)
  const early = text('early_policy')
  const triggeredBy = text('triggered_by')
  const evidence = text('trigger_evidence')
  const authority = text('authority')
  const tolerance = number('tolerance')
  const within = number('within_steps')
  const [isLife, isRead, isCounted, isBefore, isTriggerBefore] = [
    'is_life_limit',
    'is_read',
    'is_counted',
    'is_before_baseline',
    'is_trigger_before_baseline',
  ].map(number)
  const [total, sinceDay, zeroDay, extendedTo, expiresDay, triggerDay, triggerCount] = [
    'total',
    'since_day',
    'zero_day',
    'extended_to',
    'expires_day',
    'trigger_day',
    'trigger_count',
  ].map(number)
  const limits = Array.from({ length: read.count }, (_, row): Limit => {
    const eventDay = triggerDay!(row)
    // Parts of a day fall due with the day; what is never due is so for a calendar's sake in some thousand years.
    const isDays = counter![row] === 'days'
    const whole = <T extends number | null>(value: T): T =>
      isDays && value !== null ? (Math.min(longestDays, Math.ceil(value)) as T) : value
    const wholeStep = (one: Step | null): Step | null =>
      one && 'count' in one ? { count: whole(one.count) } : one
    return {
      limitNo: row,
      task: task![row]!,
      title: title![row]!,
      item: item![row]!,
      kind: kind![row]!,
      tank: tank![row]!,
      position: position![row]!,
      counter: counter![row]!,
      step: wholeStep(stepOf(step![row]!)),
      firstStep: wholeStep(stepOf(firstStep![row]!)),
      tolerance: isLife!(row) ? 0 : tolerance(row)!,
      early: early[row] === 'keep-within-tolerance' ? 'keep-within-tolerance' : 'rebase',
      isLifeLimit: isLife!(row) === 1,
      triggeredBy: triggeredBy[row]!,
      within: whole(within(row)) ?? 0,
      isRead: isRead!(row) === 1,
      isCounted: isCounted!(row) === 1,
      total: total!(row),
      isBeforeBaseline: isBefore!(row) === 1,
      sinceDay: sinceDay!(row),
      zeroDay: zeroDay!(row),
      extendedTo: whole(extendedTo!(row)),
      authority: authority[row]!,
      expiresDay: expiresDay!(row),
      trigger:
        eventDay === null
          ? null
          : {
              day: eventDay,
              evidence: evidence[row]!,
              count: isTriggerBefore!(row) ? null : triggerCount!(row),
            },
      work: [],
    }
  })
  await readWork(warehouse, limits)
  return limits
}

async function readWork(warehouse: Warehouse, limits: readonly Limit[]): Promise<void> {
  const read = await warehouse.columns(await warehouse.readStage('maintenance/read-work'))
  const [no, ms, day, reading, count] = ['limit_no', 'done_ms', 'done_day', 'reading', 'count'].map((name) =>
    read.numbers(name),
  )
  const orNull = (value: number): number | null => (Number.isNaN(value) ? null : value)
  for (let row = 0; row < read.count; row++) {
    limits[no![row]!]!.work.push({
      day: day![row]!,
      ms: ms![row]!,
      count: orNull(count![row]!),
      reading: orNull(reading![row]!),
    })
  }
}

function readStep(written: string): Step | null {
  const read = readDurationMonthsOrNumber(written)
  return read.ok ? read.value : null
}
