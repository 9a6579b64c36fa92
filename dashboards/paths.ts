/** The folder that all of these paths share, with its slash; empty when there is none, as for a file that came by itself. */
export function folderOf(paths: readonly string[]): string {
  const [first = '', ...others] = paths
  let folder = first.slice(0, first.lastIndexOf('/') + 1)
  while (folder && !others.every((path) => path.startsWith(folder)))
    folder = folder.slice(0, folder.slice(0, -1).lastIndexOf('/') + 1)
  return folder
}

/** What stands before the last folder of a path: a file is known by its folder and name. */
export const aboveFolder = (path: string): string => /^.*\/(?=[^/]*\/[^/]*$)/.exec(path)?.[0] ?? ''
