import { isAbsolute, resolve } from 'node:path'
import type { Arguments } from './arguments.ts'
import type { Effects } from './effects.ts'

/** Folder of the warehouse that a command means. */
export function warehouseFolder(args: Arguments, effects: Effects): string {
  return inFolder(effects.cwd, args.text('warehouse') ?? effects.env.GALLONAGE_WAREHOUSE ?? 'warehouse')
}

/** A path as the user means it, from the folder where the command was given. */
export function inFolder(cwd: string, path: string): string {
  return isAbsolute(path) ? path : resolve(cwd, path)
}
