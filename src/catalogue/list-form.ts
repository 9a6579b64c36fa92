import type { TableColumn } from './table-column.ts'
import { clipped, letters, wrapped } from './terminal-text.ts'

const gap = 2
const narrowest = 10

/** Each row as a list of its values, one column a line; what is not known has no line. */
export function lists(
  columns: readonly TableColumn[],
  count: number,
  options: { width: number; isColoured?: boolean },
): string {
  const known = columns.filter((column) => !column.isEmpty)
  const labelWidth = Math.max(...known.map((column) => column.name.length))
  const room = Math.max(narrowest, options.width - labelWidth - gap)
  const indent = ' '.repeat(labelWidth + gap)
  let out = ''
  for (let row = 0; row < count; row++) {
    for (const column of known) {
      const text = column.texts[row]!
      if (text === '') continue
      const label = column.name.padEnd(labelWidth)
      const lines = letters(text) <= room ? [text] : wrapped(text, room).map((line) => clipped(line, room))
      out += `${options.isColoured ? `\u001b[1m${label}\u001b[0m` : label}${' '.repeat(gap)}${lines.join(`\n${indent}`)}\n`
    }
    out += '\n'
  }
  return out
}
