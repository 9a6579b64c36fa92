import type { Cell } from '../rows.ts'

export interface Claim {
  value: Cell
  witness: string
  obs: string
}
export interface FieldClaims {
  field: string
  taken: Claim | null
  beaten: Claim[]
  rule?: string | null
}
export interface Observation {
  obs: string
  obs_no: number
  kind: string
  witness: string | null
  source: string | null
  profile: string | null
  role: string | null
  score: number | null
  decided_by: string | null
  offset_min: number | null
  raw_time: string | null
  common_time: string | null
  fate: string
  values: Record<string, Cell>
  file: { file_no: number; path: string; sha256: string; arrived_at: string | null } | null
  line: number | null
  cells: [string, string][] | null
  raw_line: string | null
  history: Observation[]
}
export interface Amendment {
  amendment_no: number
  action: string
  made_by: string
  made_at: string
  reason: string
  /** What it changes, as JSON. */
  payload: string
  undone: boolean | number | null
}
/** Everything behind one record, down to file and line. */
export interface Evidence {
  kind: string
  id: string
  title: string
  record: Record<string, Cell>
  claims: FieldClaims[]
  observations: Observation[]
  amendments: Amendment[]
  related: { kind: string; id: string; label: string }[]
  findings: { finding_id: string; finding: string; severity: string; message: string }[]
}
