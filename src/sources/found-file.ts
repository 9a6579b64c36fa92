import { lstat, readdir, realpath, stat } from 'node:fs/promises'
import { basename, dirname, join, normalize, resolve } from 'node:path'
import { problem, type SourceProblem } from './problem.ts'

export interface FoundFile {
  path: string
  bytes: number
  modifiedAt: Date
}

export interface Discovered {
  /** In order of path; paths are relative if they were named so. */
  files: FoundFile[]
  profileFiles: string[]
  problems: SourceProblem[]
}

/** Beside the logs but no logs: passed over without a word, unless they are named themselves. */
const quiet =
  /^(\..*|~\$.*|readme(\..*)?|licen[cs]e(\..*)?|.*\.md|.*\.schema\.json|thumbs\.db|desktop\.ini)$/i

/**
 * Every file under the named files and folders, and every profile: `*.json` in a folder called `profiles` at any
 * depth of a named folder, or beside a named file. A path that is not there is a problem; the others go on.
 */
export async function discover(paths: readonly string[]): Promise<Discovered> {
  const files = new Map<string, FoundFile>()
  const profiles = new Map<string, string>()
  const problems: SourceProblem[] = []
  const seenFolders = new Set<string>()

  const takeFile = async (path: string, isNamed = false) => {
    const facts = await stat(path)
    if (isNamed && !facts.isFile())
      problems.push(
        problem(path, 'it is neither a file nor a folder', 'copy its content to a file, and name that'),
      )
    if (!facts.isFile() || files.has(resolve(path))) return
    files.set(resolve(path), { path, bytes: facts.size, modifiedAt: facts.mtime })
  }
  const guarded = async (path: string, work: () => Promise<void>) => {
    try {
      await work()
    } catch (error) {
      const code = (error as NodeJS.ErrnoException).code
      const isLink = await lstat(path).then(
        (facts) => facts.isSymbolicLink(),
        () => false,
      )
      if (code === 'ENOENT' && isLink)
        problems.push(
          problem(path, 'it is a link to something that is not there', 'mend the link, or remove it'),
        )
      else if (code === 'ENOENT')
        problems.push(problem(path, 'there is no such file or folder', 'check the spelling of the path'))
      else problems.push(problem(path, 'it may not be read', 'check its permissions'))
    }
  }
  const takeFolder = async (folder: string) => {
    const real = await realpath(folder)
    if (seenFolders.has(real)) return
    seenFolders.add(real)
    const isProfiles = basename(real) === 'profiles'
    for (const name of (await readdir(folder)).sort()) {
      const path = join(folder, name)
      await guarded(path, async () => {
        if (quiet.test(name)) return
        if ((await stat(path)).isDirectory()) await takeFolder(path)
        else if (isProfiles && /\.json$/i.test(name)) profiles.set(resolve(path), path)
        else await takeFile(path)
      })
    }
  }
  const takeProfilesBeside = async (file: string) => {
    const folder = join(dirname(file), 'profiles')
    const names = await readdir(folder).catch(() => [])
    for (const name of names)
      if (/\.json$/i.test(name) && !quiet.test(name)) {
        profiles.set(resolve(folder, name), join(folder, name))
      }
  }
  for (const named of paths) {
    const path = normalize(named)
    await guarded(path, async () => {
      if ((await stat(path)).isDirectory()) return takeFolder(path)
      await takeFile(path, true)
      await takeProfilesBeside(path)
    })
  }
  const byPath = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0)
  return {
    files: [...files.values()].sort((a, b) => byPath(a.path, b.path)),
    profileFiles: [...profiles.values()].sort(byPath),
    problems,
  }
}
