import type { Chart, ChartColumn } from '../charts/chart.ts'
import type { Context } from '../context.ts'
import { h } from '../h.ts'
import { numberOf, type Row, textOf } from '../rows.ts'
import { timeText } from '../times.ts'
import { money, figure as numberText, unitOf } from '../units.ts'
import { csvOf } from './csv.ts'
import { savePng, saveText, standalone } from './save.ts'

let counter = 0

/** A chart on the page: finding, drawing, text alternative, its table and its files. Redrawn when its width changes. */
export function chartFigure<R extends object>(
  chart: Chart<R>,
  rows: readonly R[],
  context: Context,
  tableRows: readonly object[] = rows,
): HTMLElement {
  const options = context.chartOptions()
  const id = `chart-${++counter}`
  const finding = chart.finding(rows, options)
  const ground = h('div', { class: 'ground' })
  const tableHost = h('div', { class: 'chart-table', id: `${id}-table`, hidden: true })
  let svg: SVGSVGElement | null = null
  let width = 0

  function redraw(): void {
    const now = Math.floor(ground.clientWidth)
    if (!now || now === width) return
    width = now
    svg = chart.draw(rows, { width: now }, options)
    svg.setAttribute('role', 'group')
    svg.setAttribute('aria-label', chart.describe(rows, options))
    tidyLinks(svg)
    ground.replaceChildren(svg)
  }

  const toggle = h(
    'button',
    {
      type: 'button',
      class: 'plain',
      'aria-expanded': 'false',
      'aria-controls': `${id}-table`,
      onclick: () => showTable(),
    },
    'Table',
  )
  function showTable(): void {
    const open = tableHost.hidden
    if (open && !tableHost.firstChild)
      tableHost.append(chartTable(chart.columns, tableRows as readonly Row[], finding, context))
    tableHost.hidden = !open
    toggle.setAttribute('aria-expanded', String(open))
  }

  new ResizeObserver(redraw).observe(ground)
  requestAnimationFrame(redraw)
  return h(
    'figure',
    { class: 'chart', 'aria-labelledby': `${id}-title`, 'data-chart': chart.name },
    h(
      'figcaption',
      {},
      h('h3', { id: `${id}-title` }, finding),
      h('p', { class: 'units' }, chart.caption(rows, options)),
    ),
    ground,
    h(
      'div',
      { class: 'tools' },
      toggle,
      h(
        'button',
        {
          type: 'button',
          class: 'plain',
          'aria-label': `CSV of ${chart.name}`,
          onclick: () =>
            saveText(
              `${chart.name}.csv`,
              'text/csv',
              csvOf(
                chart.columns.map((column) => column.name),
                tableRows as readonly Row[],
              ),
            ),
        },
        'CSV',
      ),
      h(
        'button',
        {
          type: 'button',
          class: 'plain',
          'aria-label': `SVG of ${chart.name}`,
          onclick: () => svg && saveText(`${chart.name}.svg`, 'image/svg+xml', standalone(svg, finding).text),
        },
        'SVG',
      ),
      h(
        'button',
        {
          type: 'button',
          class: 'plain',
          'aria-label': `PNG of ${chart.name}`,
          onclick: () => svg && void savePng(`${chart.name}.png`, svg, finding),
        },
        'PNG',
      ),
    ),
    tableHost,
  )
}

/** Links in a drawing speak their title; where there are many, the table is the way for the keyboard. */
function tidyLinks(svg: SVGSVGElement): void {
  const links = [...svg.querySelectorAll('a')]
  for (const link of links) {
    const href = link.getAttribute('href') ?? link.getAttributeNS('http://www.w3.org/1999/xlink', 'href')
    if (!href || href === 'null' || href === 'undefined') {
      link.replaceWith(...link.childNodes)
      continue
    }
    link.setAttribute('href', href)
    link.removeAttribute('target')
    link.setAttribute(
      'aria-label',
      link.querySelector('title')?.textContent || link.textContent || 'Narrow to this',
    )
    if (links.length > 40) link.setAttribute('tabindex', '-1')
  }
}

const tableLimit = 500

function chartTable(
  columns: readonly ChartColumn[],
  rows: readonly Row[],
  caption: string,
  context: Context,
): HTMLElement {
  const { units, zone } = context.address
  const unit = (column: ChartColumn): string =>
    column.measure === 'time'
      ? zone
      : column.measure && column.measure !== 'day'
        ? unitOf(column.measure, units)
        : ''
  const text = (column: ChartColumn, row: Row): string => {
    const value = row[column.name]
    if (value === null || value === undefined) return '—'
    if (column.measure === 'time') return timeText(textOf(value), zone)
    if (column.measure === 'money') return money(textOf(value))
    if (!column.measure || column.measure === 'day') return textOf(value)
    return numberText(numberOf(value), column.measure, units, column.digits)
  }
  const isNumber = (column: ChartColumn): boolean =>
    !!column.measure && column.measure !== 'time' && column.measure !== 'day'
  return h(
    'div',
    { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': caption },
    h(
      'table',
      {},
      h(
        'caption',
        {},
        rows.length > tableLimit
          ? `${caption} (first ${tableLimit} of ${rows.length.toLocaleString('en-US')} rows; all in the CSV)`
          : caption,
      ),
      h(
        'thead',
        {},
        h(
          'tr',
          {},
          columns.map((column) =>
            h(
              'th',
              { scope: 'col', class: isNumber(column) ? 'number' : '' },
              column.label,
              unit(column) ? h('span', { class: 'unit' }, unit(column)) : null,
            ),
          ),
        ),
      ),
      h(
        'tbody',
        {},
        rows.slice(0, tableLimit).map((row) =>
          h(
            'tr',
            {},
            columns.map((column, at) =>
              at === 0
                ? h('th', { scope: 'row' }, text(column, row))
                : h('td', { class: isNumber(column) ? 'number' : '' }, text(column, row)),
            ),
          ),
        ),
      ),
    ),
  )
}
