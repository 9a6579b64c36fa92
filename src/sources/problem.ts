/** Trouble with a file or a profile, for a person to act on: what is wrong, where, and the way out. */
export interface SourceProblem {
  path: string
  /** 1-based line (or sheet row) of the file; null when it concerns the whole file. */
  line: number | null
  what: string
  fix: string
}

export function problem(path: string, what: string, fix: string, line: number | null = null): SourceProblem {
  return { path, line, what, fix }
}

/** Tells a problem from the value that was hoped for. */
export function isProblem(value: unknown): value is SourceProblem {
  return typeof value === 'object' && value !== null && 'what' in value && 'fix' in value
}

/** Carries a problem out of a stream; it never leaves this room. */
export class SourceTrouble extends Error {
  readonly problem: SourceProblem

  constructor(trouble: SourceProblem) {
    super(trouble.what)
    this.problem = trouble
  }
}

/** The value of `work`, or the problem it met; an error of the file system becomes a problem too. */
export async function orProblem<T>(path: string, work: () => Promise<T>): Promise<T | SourceProblem> {
  try {
    return await work()
  } catch (error) {
    if (error instanceof SourceTrouble) return error.problem
    const code = (error as NodeJS.ErrnoException).code
    if (code === undefined || !/^E[A-Z]+$/.test(code)) throw error
    return problem(
      path,
      fileTrouble(code),
      'check that the file is there and may be read, then send it again',
    )
  }
}

function fileTrouble(code: string): string {
  if (code === 'ENOENT') return 'there is no such file or folder'
  if (code === 'EACCES' || code === 'EPERM') return 'the file may not be read'
  if (code === 'EISDIR') return 'it is a folder, and a file is wanted'
  if (code === 'ENOSPC') return 'the disk is full'
  return `the file could not be read (${code})`
}
