/** Numbers of observations that one file has room for: file · 2^32 + line · 16 + which of the records that the line gave. */
export const rowsOfFile = 2 ** 32
export const recordsOfLine = 16

/** The number of the file that an observation stands in. */
export const fileOfObs = (obsNo: number): number => Math.floor(obsNo / rowsOfFile)

/** The line that it stands in, counted as the file counts. */
export const lineOfObs = (obsNo: number): number => Math.floor((obsNo % rowsOfFile) / recordsOfLine)
