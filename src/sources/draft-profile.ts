import type { FoundFile } from './found-file.ts'
import { Peek } from './peek.ts'
import { orProblem, type SourceProblem } from './problem.ts'
import { likelyHeader } from './unknown-headers.ts'

export function draftProfile(file: FoundFile): Promise<string | SourceProblem> {
  return orProblem(file.path, async () =>
    JSON.stringify({ headers: likelyHeader(await Peek.at(file)).cells }),
  )
}
