import { accessSync, constants, statSync } from 'node:fs'
import { writeFile } from 'node:fs/promises'
import { dirname } from 'node:path'
import { makeFolder } from '../warehouse/folder.ts'
import { CommandError } from './effects.ts'

const reasons: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such folder; make it first, or name another',
  ENOTDIR: 'a part of this path is a file, not a folder; name another',
  EISDIR: 'this is a folder; name a file in it',
  EEXIST: 'a file of this name is in the way; name another',
  EACCES: 'you may not write there; name another place',
  EPERM: 'you may not write there; name another place',
  EROFS: 'this disk is read-only; name another place',
  ENOSPC: 'the disk is full; make room, then try again',
  ENAMETOOLONG: 'the name is too long; take a shorter one',
  EMFILE: 'too many files are open; close some programs, then try again',
}

/** What is in the way of a file or folder that the user named, as one line; null when it is something else. */
export function fileTrouble(error: unknown, path: string | null = null): CommandError | null {
  if (!(error instanceof Error) || !('code' in error)) return null
  const reason = reasons[String(error.code)]
  const place = path ?? ('path' in error ? String(error.path) : null)
  return reason === undefined || place === null ? null : new CommandError(`${place}: ${reason}`)
}

/** Before the work that fills it: whether a file can be written. @throws CommandError */
export function checkWritable(path: string): void {
  const stats = statSync(path, { throwIfNoEntry: false })
  if (stats?.isDirectory()) throw new CommandError(`${path}: ${reasons.EISDIR}`)
  try {
    accessSync(stats ? path : dirname(path), constants.W_OK)
  } catch (error) {
    throw fileTrouble(error, stats ? path : dirname(path)) ?? error
  }
}

/** @throws CommandError that says what is in the way. */
export async function writeNamed(path: string, data: Parameters<typeof writeFile>[1]): Promise<void> {
  await writeFile(path, data).catch((error) => {
    throw fileTrouble(error, path) ?? error
  })
}

/** Makes a folder and those above it. @throws CommandError that says what is in the way. */
export function makeNamedFolder(path: string): void {
  if (statSync(path, { throwIfNoEntry: false })?.isDirectory() === false)
    throw new CommandError(`${path}: this is a file; name a folder`)
  try {
    makeFolder(path)
  } catch (error) {
    throw fileTrouble(error) ?? error
  }
}
