import type { Context } from '../context.ts'

/** What came of an amendment: its number, and what it changed, in words. */
export interface Recorded {
  readonly number: number
  readonly changes: string
}

/** Sends amendments of one form, and tells after each what came of it. */
export class Recording {
  private before: Readonly<Record<string, number>> = {}
  private number = 0
  private readonly context: Context
  private readonly tell: (recorded: Recorded) => void

  constructor(context: Context, tell: (recorded: Recorded) => void) {
    this.context = context
    this.tell = tell
  }

  /** @throws Problem with the server's reason when it is refused. */
  async send(action: string, payload: Record<string, unknown>, reason: string, by: string): Promise<void> {
    const { api } = this.context
    this.before = (await api.standing()).counts
    this.number = await api.amend(action, payload, reason, by)
  }

  async done(): Promise<void> {
    const after = await this.context.api.standing().catch(() => null)
    this.tell({ number: this.number, changes: after ? changesBetween(this.before, after.counts) : '' })
  }
}

const counted: readonly (readonly [string, string])[] = [
  ['quarantined', 'rows in quarantine'],
  ['findings', 'open findings'],
  ['drops', 'drops'],
  ['loads', 'loads'],
  ['flights', 'flights'],
]

/** `Rows in quarantine 2 → 0; open findings 93 → 91.` */
export function changesBetween(
  before: Readonly<Record<string, number>>,
  after: Readonly<Record<string, number>>,
): string {
  const changes = counted
    .filter(([name]) => before[name] !== undefined && before[name] !== after[name])
    .map(
      ([name, label]) =>
        `${label} ${before[name]!.toLocaleString('en-US')} → ${(after[name] ?? 0).toLocaleString('en-US')}`,
    )
  if (!changes.length) return 'The counts of records, quarantine and findings stand as they were.'
  const text = changes.join('; ')
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`
}
