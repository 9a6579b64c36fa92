import { mkdir } from 'node:fs/promises'
import { landCsv } from './csv-landing.ts'
import type { FoundFile } from './found-file.ts'
import type { Landing, Recognized } from './landing.ts'
import { orProblem, type SourceProblem } from './problem.ts'
import { landJsonLines, landSheet } from './row-landing.ts'

/**
 * Makes a recognised file ready for one `read_csv`, with line numbers, whatever it was sent as. A row that cannot be
 * read becomes a problem row; only a file that cannot be trusted as a whole (a gzip stream that breaks off, a
 * workbook that does not open) is refused.
 */
export function prepare(
  file: FoundFile,
  recognized: Recognized,
  scratchDir: string,
): Promise<Landing | SourceProblem> {
  return orProblem(file.path, async () => {
    await mkdir(scratchDir, { recursive: true })
    if (recognized.container === 'xlsx') return landSheet(file, recognized, scratchDir)
    if (recognized.container === 'jsonl') return landJsonLines(file, recognized, scratchDir)
    return landCsv(file, recognized, scratchDir)
  })
}
