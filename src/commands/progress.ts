import { basename } from 'node:path'
import type { Effects } from './effects.ts'

/** A bar that redraws itself on a terminal and says nothing elsewhere. */
export function progressBar(
  effects: Effects,
  isQuiet: boolean,
): { show: (done: number, total: number, path: string) => void; clear: () => void } {
  if (!effects.isTerminal || isQuiet) return { show: () => {}, clear: () => {} }
  const width = 24
  return {
    show: (done, total, path) => {
      const filled = total === 0 ? width : Math.round((done / total) * width)
      const label = ` ${done}/${total} ${basename(path)}`.slice(0, Math.max(0, effects.columns - width - 4))
      effects.err(`\r\u001b[K[${'#'.repeat(filled)}${'.'.repeat(width - filled)}]${label}`)
    },
    clear: () => effects.err('\r\u001b[K'),
  }
}
