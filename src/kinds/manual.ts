import type { Column } from './column.ts'
import type { Kind } from './kind.ts'

/** What may stand in a cell, in a few words; the unit of a measure is in `about`. */
const cells: Record<Column['type'], string> = {
  text: 'text',
  reference: 'name on record',
  time: 'ISO 8601 time with offset or Z',
  date: 'day, YYYY-MM-DD',
  number: 'number',
  integer: 'whole number',
  volume: 'number',
  length: 'number',
  speed: 'number',
  duration: 'number',
  angle: 'decimal degrees',
  fraction: '1/4, 0.25, 25%, half, full',
  coverage: 'number, or >6',
  choice: 'one of a few words',
  doors: 'list, or all',
  list: 'list, separated by ;',
  interval: 'number, or months such as 6mo',
  price: 'exact decimal, at most 6 places',
  money: 'exact decimal, 2 places',
}

/** What may stand in a column's cells, with its choices and range. */
export function cellOf(column: Column): string {
  if (column.choices) return column.choices.join(', ')
  const range =
    column.min !== undefined && column.max !== undefined
      ? `, ${column.min} to ${column.max}`
      : column.min !== undefined
        ? `, at least ${column.min}`
        : column.max !== undefined
          ? `, at most ${column.max}`
          : ''
  return `${cells[column.type]}${range}`
}

/** How two rows of a kind are known to tell of one record, as a sentence. */
export function keyOf(kind: Kind): string {
  switch (kind.key.by) {
    case 'columns':
      return `A later row with the same ${kind.key.columns.join(' + ')} replaces the earlier one.`
    case 'event':
      return 'A later row with the same record or ticket (or, without one, of the same source, aircraft and minute) corrects the earlier one.'
    case 'content':
      return 'Only an equal row is the same row.'
  }
}

function spanOf({ span }: Kind): string {
  if (!span) return ''
  const longest = span.longest_s ? `, nor more than ${span.longest_s / 3600} h after it` : ''
  return ` \`${span.to}\` is never before \`${span.from}\`${longest}.`
}

/** The manual's page of record kinds, in Markdown. */
export function manualOfKinds(kinds: readonly Kind[]): string {
  return `# Record kinds and their columns

Made from \`src/kinds\` by \`npm run manual\`; do not edit. A CSV whose headers are the names below needs no profile; a star
marks what is required. In a profile a column is named without its unit (\`volume_gal\` is \`volume\`), and says the unit itself.
A blank cell is "not known", never zero. Lists in a cell are separated by \`;\`.

${kinds.map((kind) => `[${kind.name}](#${kind.name})`).join(' · ')}
${kinds.map(sectionOf).join('')}`
}

function sectionOf(kind: Kind): string {
  const rows = kind.columns.map(
    (column) =>
      `| \`${column.name}\`${column.required ? ' \\*' : ''} | ${column.about} | ${cellOf(column)} |`,
  )
  return `
## ${kind.name}

${kind.about} ${keyOf(kind)}${spanOf(kind)}${kind.witness ? ` A blank witness is \`${kind.witness}\`.` : ''}

| column | what | cell |
|---|---|---|
${rows.join('\n')}
`
}
