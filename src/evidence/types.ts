import { fileOfObs, lineOfObs, recordsOfLine, rowsOfFile } from '../kinds/index.ts'
import type { Cell } from '../warehouse/index.ts'

export type Fields = Record<string, Cell>

export interface FileRef {
  file_no: number
  path: string
  sha256: string
  profile: string | null
  arrived_at: string
}

/** One row of a file as one witness's claim, down to the line. */
export interface ObservationEvidence {
  obs: string
  obs_no: number
  kind: string
  witness: string | null
  source: string | null
  profile: string
  role: string | null
  score: number | null
  decided_by: string | null
  offset_min: number | null
  raw_time: string | null
  common_time: string | null
  fate: string
  values: Fields
  file: FileRef
  line: number
  /** Header and text of every cell, as read. */
  cells: [string, string | null][]
  /** The line as it stood in the file; null when the file's bytes were not kept. */
  raw_line: string | null
  /** Versions that this row replaced, newest first. */
  history: ObservationEvidence[]
}

export interface Claim {
  field: string
  taken: { value: string | null; witness: string; obs: string } | null
  beaten: { value: string | null; witness: string; obs: string }[]
  rule: string
}

export interface AmendmentEvidence {
  amendment_no: number
  action: string
  made_by: string
  made_at: string
  reason: string
  payload: string
  undone: boolean
}

export interface Related {
  kind: string
  id: string
  label: string
}

export interface FindingEvidence {
  finding_id: string
  finding: string
  severity: string
  message: string
  state: string | null
}

export interface Evidence {
  kind: string
  id: string
  title: string
  record: Fields
  claims: Claim[]
  observations: ObservationEvidence[]
  amendments: AmendmentEvidence[]
  related: Related[]
  findings: FindingEvidence[]
}

/** `obs_no` as people write it: file, line and, where a line gave several, which. */
export function obsName(obsNo: number): string {
  const record = obsNo % recordsOfLine
  return `${fileOfObs(obsNo)}-${lineOfObs(obsNo)}${record > 0 ? `-${record}` : ''}`
}

/** `12-345` or a number → obs_no; null for anything else. */
export function obsNumber(text: string): number | null {
  const named = /^(\d+)-(\d+)(?:-(\d+))?$/.exec(text)
  if (named) return Number(named[1]) * rowsOfFile + Number(named[2]) * recordsOfLine + Number(named[3] ?? 0)
  return /^\d+$/.test(text) && Number.isSafeInteger(Number(text)) ? Number(text) : null
}
