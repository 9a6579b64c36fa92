import { type CompletenessRow, completenessGrid } from '../../dashboards/charts/completeness-grid.ts'
import { figure } from '../../dashboards/units.ts'
import type { ResultRow } from '../catalogue/index.ts'
import { type Asking, sum, tableOf, tally } from './asking.ts'
import { type Block, type Section, text } from './block.ts'
import { chartOf } from './chart.ts'
import type { Look } from './look.ts'

/** How far the records can be relied on: what arrived, what was set aside, what contradicts itself, who has not reported. */
export async function quality(asking: Asking): Promise<Section> {
  const blocks: Block[] = [
    ...(await asking.blocks('arrivals', (answer) => arrivals(answer.rows, answer), {
      nothing: 'No file has arrived.',
    })),
    ...(await asking.blocks(
      'quarantine',
      (answer) => [countTable('quarantine', 'Rows set aside, by reason', ['profile', 'reason'], answer.rows)],
      { nothing: 'No row is set aside.' },
    )),
    ...(await asking.blocks(
      'findings',
      (answer) => [
        countTable('findings', 'Findings, by kind', ['severity', 'finding'], answer.rows),
        tableOf(
          answer,
          'All findings',
          ['severity', 'finding', 'subject', 'happened_at', 'message', 'state', 'evidence'],
          {
            isOffPaper: true,
          },
        ),
      ],
      { nothing: 'There is no finding.' },
    )),
    ...(await asking.blocks('completeness', (answer) => missing(answer.rows, asking.look), {
      nothing: 'Every aircraft that flew has a controller download or a crew log for the day.',
    })),
    ...(await asking.blocks('clock-offsets', (answer) => [clocks(answer.rows)], {
      nothing: 'No clock could be compared.',
    })),
  ]
  return { title: 'Quality of the record', blocks }
}

function arrivals(rows: readonly ResultRow[], answer: Parameters<typeof tableOf>[0]): Block[] {
  const total = (name: string): number => sum(rows, name) ?? 0
  const fates = total('accepted') + total('duplicate') + total('superseded') + total('quarantined')
  const shown = (value: number): string => figure(value, 'count', 'us')
  const balance =
    fates === total('read')
      ? 'Every row read has exactly one fate.'
      : `These do not add up (${shown(fates)}): report this, it should not happen.`
  return [
    text(
      `${shown(rows.length)} files brought ${shown(total('read'))} rows: ${shown(total('accepted'))} accepted, ${shown(total('duplicate'))} duplicate, ${shown(total('superseded'))} superseded, ${shown(total('quarantined'))} quarantined. ${balance}`,
    ),
    tableOf(
      answer,
      'Files',
      [
        'path',
        'profile',
        'arrived_at',
        'read',
        'accepted',
        'duplicate',
        'superseded',
        'quarantined',
        'sha256',
      ],
      { isOffPaper: true },
    ),
  ]
}

function missing(rows: readonly ResultRow[], look: Look): Block[] {
  const silent = rows.filter((row) => row.events === 0)
  return [
    text(
      silent.length === 0
        ? 'Every aircraft that flew has a controller download or a crew log for the day.'
        : `For ${figure(silent.length, 'count', 'us')} pairs of aircraft-day and witness with flights, nothing of that witness has arrived.`,
    ),
    ...(silent.length > 0 ? [chartOf(completenessGrid, rows as unknown as CompletenessRow[], look)] : []),
  ]
}

function clocks(rows: readonly ResultRow[]): Block {
  const off = rows.filter((row) => Math.abs(Number(row.offset_min ?? 0)) >= 5)
  return text(
    `${figure(rows.length, 'count', 'us')} clocks were compared with the others of their aircraft and day; ${figure(off.length, 'count', 'us')} were off by five minutes or more. Offsets are taken out before records are matched; the times as written stay.`,
  )
}

/** How often each combination occurs, as a table of its own. */
export function countTable(
  name: string,
  caption: string,
  columns: string[],
  rows: readonly ResultRow[],
): Block {
  return {
    is: 'table',
    name: `${name} by kind`,
    caption,
    columns: [
      ...columns.map((column) => ({ name: column, kind: 'text' as const, about: '' })),
      { name: 'count', kind: 'integer' as const, about: 'how often' },
    ],
    rows: tally(rows, ...columns).map(({ values, count }) => ({
      ...Object.fromEntries(columns.map((column, index) => [column, values[index]!])),
      count,
    })),
  }
}
