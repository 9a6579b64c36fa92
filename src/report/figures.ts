import { shownAs } from '../../dashboards/columns.ts'
import { dayText, timeText } from '../../dashboards/times.ts'
import { figure, type Measure, money, unitOf } from '../../dashboards/units.ts'
import type { Cell } from '../warehouse/index.ts'
import type { TableColumn } from './block.ts'
import type { Look } from './look.ts'

const measures: ReadonlySet<string> = new Set([
  'volume',
  'volume-rate',
  'flow',
  'length',
  'distance',
  'speed',
  'hours',
  'minutes',
  'percent',
  'share',
  'count',
  'coverage',
  'degree',
  'seconds',
  'plain',
])

/** `1 Oct 2026`: a table has no room for whole months. */
function shortDay(day: string): string {
  return dayText(day, true).replace(/([A-Z][a-z]{2})[a-z]+/, '$1')
}

export function measureOf(column: TableColumn): Measure | null {
  const { as } = shownAs(column.name)
  if (as !== undefined && measures.has(as)) return as as Measure
  if (column.kind === 'integer') return 'count'
  return column.kind === 'number' ? 'plain' : null
}

/** The heading of a column: its name as the pages show it, with its unit. */
export function headingOf(column: TableColumn, look: Look): string {
  const { label } = shownAs(column.name)
  const measure = measureOf(column)
  const unit = measure && column.kind !== 'text' ? unitOf(measure, look.units) : ''
  return unit && !label.includes(unit) ? `${label}, ${unit}` : label
}

export function isRightAligned(column: TableColumn): boolean {
  return column.kind === 'integer' || column.kind === 'number' || column.kind === 'money'
}

/** One value as the pages show it; an en dash where nothing is known. */
export function shownCell(cell: Cell | undefined, column: TableColumn, look: Look): string {
  if (cell === null || cell === undefined) return '–'
  if (column.kind === 'money') return money(cell as string)
  if (typeof cell === 'number') {
    // A sheet's column of counts, hours and percents side by side.
    if (column.name === 'value') return figure(cell, 'count', look.units)
    const shown = shownAs(column.name)
    if (shown.as === 'code' || shown.as === 'record') return String(cell)
    return figure(cell, measureOf(column) ?? 'plain', look.units, shown.digits)
  }
  if (column.kind === 'time') return timeText(cell as string, look.zone)
  if (column.kind === 'day') return shortDay(cell as string)
  if (typeof cell === 'boolean') return cell ? 'yes' : 'no'
  if (Array.isArray(cell)) return cell.map(String).join(', ')
  return typeof cell === 'object' ? JSON.stringify(cell) : cell
}
