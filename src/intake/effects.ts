import type { FoundFile, SourceProblem } from '../sources/index.ts'

export interface IngestEffects {
  readonly now: () => Date
  /** Called as files land: how many are done, of how many. */
  readonly onProgress?: (done: number, total: number, path: string) => void
  /** Keeps the bytes of a file that landed; the warehouse's folder `files` when not given. */
  readonly keep?: (file: FoundFile, sha256: string) => Promise<SourceProblem | null>
  /** How a path is called for people and kept on record; as it is when not given. */
  readonly shownPath?: (path: string) => string
  /** Profiles that came by themselves are kept too, though no file of the run needs them. */
  readonly keepsEveryProfile?: boolean
  /** Brings what rests on the observations up to date, before anything of the run counts. */
  readonly settle?: () => Promise<void>
}
