import { join } from 'node:path'
import { loadCatalogue, manualOfQuestions } from '../../src/catalogue/index.ts'
import { kinds, manualOfKinds } from '../../src/kinds/index.ts'
import { packageRoot } from '../../src/warehouse/index.ts'

/** The pages of the manual that are made from code, as they should stand. */
export function manualPages(): { path: string; text: string }[] {
  const answers = join(packageRoot, 'queries', 'answers')
  return [
    { path: join(packageRoot, 'sample-logs', 'record-kinds.md'), text: manualOfKinds(kinds) },
    {
      path: join(packageRoot, 'queries', 'README.md'),
      text: manualOfQuestions(loadCatalogue({ folders: { builtIn: answers } }).list()),
    },
  ]
}
