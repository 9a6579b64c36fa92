/** What became of one file, as `ingest` prints it. */
export interface FileReport {
  path: string
  profile: string | null
  read: number
  accepted: number
  duplicate: number
  superseded: number
  quarantined: number
  /** One sentence: what is wrong, where, what to do; only for files that were not taken, or notes on those that were. */
  problem?: string
}

export type Counts = Pick<FileReport, 'read' | 'accepted' | 'duplicate' | 'superseded' | 'quarantined'>

export interface IngestReport {
  files: FileReport[]
  totals: Counts
  /** Trouble with profiles and paths, which no file line shows. */
  problems: string[]
  /** Profiles that came with the files and can be read. */
  profiles: string[]
  /** Files in quarantine or not recognised: what `--strict` looks at. */
  isClean: boolean
}

export function totalsOf(files: readonly Counts[]): Counts {
  const sum = (name: keyof Counts) => files.reduce((total, file) => total + file[name], 0)
  return {
    read: sum('read'),
    accepted: sum('accepted'),
    duplicate: sum('duplicate'),
    superseded: sum('superseded'),
    quarantined: sum('quarantined'),
  }
}
