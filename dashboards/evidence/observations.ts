import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { timeText } from '../times.ts'
import type { Observation } from './types.ts'

/** One witness's line: where it stands, what it says, word for word, and the versions it replaced. */
export function observationBlock(observation: Observation, context: Context): HTMLElement {
  const { zone } = context.address
  const notes = [
    observation.role === 'summary' ? 'stands for a run of drops' : null,
    observation.offset_min
      ? `clock ${observation.offset_min > 0 ? 'late' : 'early'} by ${Math.abs(observation.offset_min)} min: ${timeText(observation.raw_time, zone)} read, ${timeText(observation.common_time, zone)} used`
      : null,
    observation.decided_by,
    observation.fate !== 'accepted' ? observation.fate : null,
  ].filter(Boolean)
  return h(
    'article',
    { class: 'observation' },
    h(
      'h4',
      {},
      observation.witness ?? observation.kind,
      observation.profile ? h('small', {}, ` ${observation.profile}`) : null,
    ),
    observation.file
      ? h(
          'p',
          { class: 'place' },
          h('a', { href: context.evidence('file', String(observation.file.file_no)) }, observation.file.path),
          observation.line === null ? null : `, line ${observation.line}`,
        )
      : null,
    rawLine(observation),
    byColumn(observation),
    notes.length ? h('p', { class: 'units' }, `${notes.join(' · ')}.`) : null,
    observation.history?.length
      ? h(
          'details',
          {},
          h(
            'summary',
            {},
            `Replaces ${observation.history.length} earlier version${observation.history.length === 1 ? '' : 's'}`,
          ),
          observation.history.map((older) => observationBlock(older, context)),
        )
      : null,
  )
}

function rawLine(observation: Observation): Child {
  if (observation.raw_line !== null)
    return h('pre', { class: 'raw', tabindex: '0', 'aria-label': 'Line as written' }, observation.raw_line)
  return observation.cells?.length ? cellList(observation.cells) : null
}

/** The line under the headers of its file, for who does not know their order. */
function byColumn({ raw_line, cells }: Observation): Child {
  if (raw_line === null || !cells?.length) return null
  return h('details', {}, h('summary', {}, 'Column by column'), cellList(cells))
}

const cellList = (cells: readonly (readonly [string, string | null])[]): HTMLElement =>
  h(
    'dl',
    { class: 'record' },
    cells
      .filter(([, text]) => text)
      .map(([header, text]) => h('div', {}, h('dt', {}, header), h('dd', {}, h('code', {}, text)))),
  )
