import type { Claim } from '../claims.ts'
import type { Form, Row } from '../files.ts'
import type { Pen } from '../pen.ts'

/** A kind of file that some sender makes: how it looks, how it is to be read, and how a line is written. */
export interface Sheet {
  form: Form
  profile: { profile: string } & Record<string, unknown>
  row(claim: Claim, pen: Pen): Row
}

export const litresPerGallon = 3.785411784

/** The day on which a file was issued stands in its name. */
export const issued = { name: '(\\d{8})\\.(?:csv|xlsx|jsonl)', format: '%Y%m%d' }
