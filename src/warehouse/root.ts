import { existsSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

/** The folder that holds package.json: the same whether the code runs from source or from the build. */
export const packageRoot: string = findRoot()

function findRoot(): string {
  let folder = dirname(fileURLToPath(import.meta.url))
  while (!existsSync(join(folder, 'queries')) || !existsSync(join(folder, 'package.json'))) {
    const parent = dirname(folder)
    if (parent === folder) throw new Error('the folder queries/ is missing from the installation')
    folder = parent
  }
  return folder
}
