import type { Block, ChartBlock, ReportContent, Section, TableBlock } from './block.ts'
import { headingOf, isRightAligned, shownCell } from './figures.ts'
import { type Look, lookText } from './look.ts'
import { type Fragment, html, Markup } from './markup.ts'
import { printStyle } from './print-style.ts'

/** What stands on every report beside its content. */
export type Imprint = { fingerprint: string; madeAt: Date; version: string; look: Look }

const plainRowLimit = 400

/** One self-contained page: no script, nothing fetched; it prints on A4 and Letter. */
export function toHtml(content: ReportContent, imprint: Imprint): string {
  const { look } = imprint
  const sections = content.sections.filter(({ blocks }) => !blocks.every(isOffPaper))
  const made = `${imprint.madeAt.toISOString().slice(0, 16).replace('T', ' ')} UTC`
  const footer = `${content.title} · records ${imprint.fingerprint} · ${made}`
  const page = html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="generator" content="gallonage ${imprint.version}">
<title>${content.title}, ${content.subtitle}</title>
<style>${new Markup(printStyle(footer, content.isWide))}</style>
</head>
<body>
<header>
<h1>${content.title}</h1>
<p class="subtitle">${content.subtitle}</p>
<p class="lead">${content.summary}</p>
${content.cautions.map((caution) => html`<p class="caution" role="note"><strong>Caution.</strong> ${caution}</p>`)}
<dl class="imprint">
<div><dt>Fingerprint of the records</dt><dd><code>${imprint.fingerprint}</code></dd></div>
<div><dt>Made</dt><dd>${made}</dd></div>
<div><dt>Units</dt><dd>${lookText(look)}</dd></div>
</dl>
</header>
<nav aria-label="Contents"><ol>${sections.map(
    (section, index) => html`<li><a href="#s${index + 1}">${section.title}</a></li>`,
  )}</ol></nav>
<main>
${sections.map((section, index) => sectionHtml(section, index, look))}
</main>
<footer><p>${footer}. Made by gallonage ${imprint.version}. The same records give the same report.</p></footer>
</body>
</html>
`
  return page.text
}

/** What only the workbook has. */
const isOffPaper = (block: Block): boolean => block.is === 'table' && block.isOffPaper === true

function sectionHtml(section: Section, index: number, look: Look): Markup {
  const terms = section.blocks.every((block) => block.is === 'term')
  const blocks = section.blocks.map((block) => blockHtml(block, look))
  return html`<section aria-labelledby="s${index + 1}" class="${section.startsPage ? 'new-page' : ''}">
<h2 id="s${index + 1}">${index + 1}. ${section.title}</h2>
${terms ? html`<dl class="terms">${blocks}</dl>` : blocks}
</section>
`
}

function blockHtml(block: Block, look: Look): Fragment {
  switch (block.is) {
    case 'text':
      return html`<p>${block.text}</p>\n`
    case 'caution':
      return html`<p class="caution" role="note"><strong>Caution.</strong> ${block.text}</p>\n`
    case 'absent':
      return html`<p class="absent">${block.text}</p>\n`
    case 'term':
      return html`<div><dt>${block.term ?? ''}</dt><dd>${block.text}</dd></div>\n`
    case 'figures':
      return html`<dl class="figures">${block.figures.map(
        ({ label, value, note }) =>
          html`<div><dt>${label}</dt><dd><b>${value}</b> <span>${note}</span></dd></div>`,
      )}</dl>\n`
    case 'chart':
      return chartHtml(block)
    case 'pair':
      return html`<div class="pair">${block.charts.map(chartHtml)}</div>\n`
    case 'sign':
      return html`<div class="sign">${block.parties.map(
        (party) =>
          html`<div><p>For ${party}</p><span>Name</span><span>Signature</span><span>Day</span></div>`,
      )}</div>\n`
    case 'table':
      return isOffPaper(block) ? null : tableHtml(block, look)
  }
}

function chartHtml(block: ChartBlock): Markup {
  return html`<figure><figcaption><h3>${block.finding}</h3><p>${block.caption}</p></figcaption>${new Markup(block.svg)}</figure>\n`
}

/** A table of so few rows stays on one page. */
const keptTogether = 24
const narrowFrom = 4

function tableHtml(block: TableBlock, look: Look): Markup {
  const limit = block.rowLimit ?? plainRowLimit
  const rows = block.rows.slice(0, limit)
  const left = block.rows.length - rows.length
  const align = block.columns.map((column) => (isRightAligned(column) ? 'r' : 'l'))
  const looks = [
    rows.length <= keptTogether ? 'together' : '',
    block.columns.length <= narrowFrom ? 'narrow' : '',
  ]
  return html`<table class="${looks.join(' ').trim()}">
<caption>${block.caption}</caption>
<thead><tr>${block.columns.map((column, index) => html`<th scope="col" class="${align[index]!}">${headingOf(column, look)}</th>`)}</tr></thead>
<tbody>${rows.map(
    (row) =>
      html`<tr>${block.columns.map((column, index) => cellHtml(shownCell(row[column.name], column, look), align[index]!))}</tr>\n`,
  )}</tbody>
${block.total ? totalHtml(block, align, look) : null}</table>
${left > 0 ? html`<p class="absent">${left.toLocaleString('en-US')} more rows are in the workbook of this report and in the query “${block.name}”.</p>` : null}
`
}

/** Short texts, such as numbers of fires, stay on one line. */
function cellHtml(text: string, align: string): Markup {
  return html`<td class="${text.length <= 20 ? `${align} short` : align}">${text}</td>`
}

function totalHtml(block: TableBlock, align: readonly string[], look: Look): Markup {
  return html`<tbody class="total"><tr>${block.columns.map((column, index) => {
    const value = block.total![column.name]
    return html`<td class="${align[index]!}">${value === undefined ? '' : shownCell(value, column, look)}</td>`
  })}</tr></tbody>`
}
