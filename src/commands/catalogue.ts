import { join } from 'node:path'
import { type Catalogue, loadCatalogue } from '../catalogue/index.ts'
import { packageRoot } from '../warehouse/index.ts'
import { preparations } from './preparations.ts'
import { fingerprintOf } from './session.ts'

/** The built-in questions and those of the folders that the user names. */
export function openCatalogue(userFolders: readonly string[] = []): Catalogue {
  return loadCatalogue({
    folders: { builtIn: join(packageRoot, 'queries', 'answers'), user: [...userFolders] },
    preparations,
    fingerprint: fingerprintOf,
  })
}
