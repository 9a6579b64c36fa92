import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { basename, join } from 'node:path'
import type { ReceivedFile } from '../server/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import type { Effects } from './effects.ts'
import { takeIn } from './ingest.ts'

/**
 * Files that came over the wire are written down, taken in, and forgotten: the warehouse keeps their bytes. Profiles among
 * them are kept whether or not a file of theirs came with them; `profiles` names them.
 */
export async function takeReceived(
  warehouse: Warehouse,
  files: readonly ReceivedFile[],
  effects: Pick<Effects, 'now'>,
) {
  const folder = await mkdtemp(join(tmpdir(), 'gallonage-received-'))
  try {
    await mkdir(join(folder, 'profiles'))
    for (const file of files) {
      const name = basename(file.name) || 'upload'
      await writeFile(join(folder, isProfile(file) ? 'profiles' : '', name), file.bytes)
    }
    // The sender knows the file by its name, and nothing of the folder that it passed through.
    const shown = (text: string) => text.replaceAll(`${folder}/profiles/`, '').replaceAll(`${folder}/`, '')
    const report = await takeIn(warehouse, [folder], [], effects, {
      shownPath: shown,
      keepsEveryProfile: true,
    })
    const named = report.files.map((file) => ({
      ...file,
      path: shown(file.path),
      ...(file.problem ? { problem: shown(file.problem) } : {}),
    }))
    const { totals, profiles } = report
    return { files: named, totals, problems: report.problems.map(shown), profiles }
  } finally {
    await rm(folder, { recursive: true, force: true })
  }
}

/** Is the file meant for a profile, with faults or without, and not for a log? */
function isProfile(file: ReceivedFile): boolean {
  if (!/\.json$/i.test(file.name)) return false
  return /^\s*\{\s*"profile"\s*:|"records"\s*:\s*\[/.test(new TextDecoder().decode(file.bytes))
}
