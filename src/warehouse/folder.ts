import { mkdirSync, statSync } from 'node:fs'
import { dirname, join } from 'node:path'

/** The database file of a warehouse's folder. */
export const databaseIn = (folder: string): string => join(folder, 'gallonage.duckdb')

/** Makes a folder and those above it. One by one: where the kernel refuses, a recursive mkdir may not come back. @throws the system's error. */
export function makeFolder(path: string): void {
  const missing: string[] = []
  for (let at = path; !statSync(at, { throwIfNoEntry: false }); at = dirname(at)) missing.unshift(at)
  for (const folder of missing) {
    try {
      mkdirSync(folder)
    } catch (error) {
      if (!(error instanceof Error && 'code' in error && error.code === 'EEXIST')) throw error
    }
  }
}
