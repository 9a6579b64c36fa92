import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import type { Cell } from '../rows.ts'
import { evidenceLink } from './cells.ts'

const most = 2

/** An observation's number holds its file and line: file × 2^32 + line × 16. */
function observationText(id: string): string {
  const number = Number(id)
  if (!Number.isSafeInteger(number)) return id
  const file = Math.floor(number / 2 ** 32)
  return `file ${file} line ${Math.floor((number - file * 2 ** 32) / 16)}`
}

/** References such as `drop:D-…` or `file:3:17`, each a link to what it names. */
export function evidenceRefs(cell: Cell | undefined, context: Context): Child {
  const list = Array.isArray(cell)
    ? (cell as readonly string[])
    : typeof cell === 'string' && cell
      ? cell.split(/[;,]\s*/)
      : []
  const links = list.slice(0, most).map((reference) => {
    const [kind = '', ...rest] = reference.split(':')
    const [id, line] = rest
    // A line of a file is an observation, named by both.
    if (kind === 'file' && line)
      return evidenceLink(context, 'obs', `${id}-${line}`, `file ${id} line ${line}`)
    if (kind === 'obs') return evidenceLink(context, 'obs', id ?? '', observationText(id ?? ''))
    return evidenceLink(context, kind, rest.join(':'), rest.join(':') || kind)
  })
  return h(
    'span',
    { class: 'refs' },
    links.map((link) => [link, ' ']),
    list.length > most ? h('small', {}, `and ${list.length - most} more`) : null,
  )
}
