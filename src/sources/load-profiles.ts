import { readFile } from 'node:fs/promises'
import { parseProfile } from './parse-profile.ts'
import { isProblem, orProblem, problem, type SourceProblem } from './problem.ts'
import type { Profile } from './profile.ts'

/** The profiles in these files. A broken one, or a second one of the same name, is a problem; the others go on. */
export async function loadProfiles(
  files: readonly string[],
): Promise<{ profiles: Profile[]; problems: SourceProblem[] }> {
  const profiles = new Map<string, Profile>()
  const problems: SourceProblem[] = []
  for (const path of files) {
    const read = await orProblem(path, async () => parseProfile(await readFile(path, 'utf8'), path))
    if (isProblem(read)) {
      problems.push(read)
      continue
    }
    const same = profiles.get(read.name)
    if (same && same.text !== read.text) {
      const what = `the profile '${read.name}' is there twice: also in ${same.path}`
      problems.push(problem(path, what, 'give one of the two another name; the first one is used'))
    } else if (!same) profiles.set(read.name, read)
  }
  return { profiles: [...profiles.values()], problems }
}
