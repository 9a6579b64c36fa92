import { rmSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { writeFiles } from './files.ts'
import { sampleReadme } from './sample-readme.ts'
import { sampleOptions } from './sample-season.ts'
import { type Season, simulate } from './simulate.ts'
import { troublesOfEvents } from './troubles-of-events.ts'
import { troublesOfFiles } from './troubles-of-files.ts'

/** Writes the season and the troubles under a folder, replacing what an earlier run left there. */
export function writeSample(folder: string): Season {
  const season = simulate(sampleOptions)
  for (const name of ['season-2026', 'troubles']) rmSync(join(folder, name), { recursive: true, force: true })
  writeFiles(join(folder, 'season-2026'), season.files)
  for (const { name, about, files } of [...troublesOfFiles, ...troublesOfEvents]) {
    const all = { ...files, 'README.md': `# ${name.replaceAll('-', ' ')}\n\n${about}\n` }
    writeFiles(
      join(folder, 'troubles', name),
      Object.entries(all).map(([path, text]) => ({
        path,
        bytes: typeof text === 'string' ? Buffer.from(text) : text,
      })),
    )
  }
  writeFileSync(join(folder, 'README.md'), sampleReadme(season))
  return season
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const folder = join(dirname(fileURLToPath(import.meta.url)), '..', '..', 'sample-logs')
  const { files, truth } = writeSample(folder)
  const bytes = files.reduce((sum, file) => sum + file.bytes.length, 0)
  console.log(
    `sample-logs: ${files.length} files, ${truth.drops.length} drops, ${(bytes / 1e6).toFixed(1)} MB`,
  )
}
