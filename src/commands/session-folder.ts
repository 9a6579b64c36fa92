import { existsSync } from 'node:fs'
import { isAbsolute, join, resolve } from 'node:path'
import type { Arguments } from './arguments.ts'
import type { Effects } from './effects.ts'

type Place = Pick<Effects, 'cwd' | 'env'>

/** Folder of the warehouse that a command means. */
export function warehouseFolder(args: Arguments, effects: Place): string {
  return folderNamed(args.text('warehouse'), effects)
}

/** The folder that the user names, else the environment's, else the one beside them. */
export function folderNamed(name: string | null, { cwd, env }: Place): string {
  return inFolder(cwd, name ?? env.GALLONAGE_WAREHOUSE ?? 'warehouse')
}

/** A path as the user means it, from the folder where the command was given. */
export function inFolder(cwd: string, path: string): string {
  return isAbsolute(path) ? path : resolve(cwd, path)
}

/** Does a server hold the warehouse of a folder, or did one leave it without a word? Asked before the server's code is loaded. */
export const maybeServed = (folder: string): boolean => existsSync(join(folder, 'server.json'))
