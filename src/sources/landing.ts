import type { SourceProblem } from './problem.ts'
import type { Encoding, Profile } from './profile.ts'

/** A file whose profile is known. */
export interface Recognized {
  profile: Profile
  /** Headers in the order of the file, tidied; '' for a column without a name. For jsonl: the keys seen so far. */
  header: string[]
  /** 1-based line (sheet row) of the header; 0 for jsonl, which has none. */
  headerLine: number
  /** When the file was issued, as a text that sorts; null when the profile does not say. */
  issuedAt: string | null
  container: 'csv' | 'jsonl' | 'xlsx'
  /** csv only. */
  delimiter: string
  /** Number of lines that the header takes (more than one if a header cell holds a line break). */
  headerSpan: number
  encoding: Encoding
  isGzip: boolean
  /** xlsx only. */
  sheet: string | null
}

/** Rows of a file, ready for one `read_csv`: every column text, an empty cell means nothing there. */
export interface Landing {
  csvPath: string
  /**
   * True: `csvPath` holds only the header's columns, and its k-th row is line `headerLine + k` of the file.
   * False: three columns come first: `line` (where the row starts in the file as sent), `problem` (NULL, or why
   * the row cannot be read), `surplus` (the raw text of such a row).
   */
  direct: boolean
  /** True when `csvPath` was written to the scratch folder and may be deleted after use. */
  isScratch: boolean
  header: string[]
  csv: { delimiter: string; quote: '"'; escape: '"'; skip: number }
  /** Rows, problem rows included; blank lines are none. */
  rowCount: number
  problemCount: number
  /** Of the file's bytes as they were sent, hexadecimal. */
  sha256: string
  /** Worth saying, but the rows land: another encoding than declared, for example. */
  notes: SourceProblem[]
}
