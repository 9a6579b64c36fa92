import type { Question } from './question.ts'

/** The manual's page of questions, in Markdown. @param questions in the order in which they are listed. */
export function manualOfQuestions(questions: readonly Question[]): string {
  return `# Questions

Made from the comments of \`queries/answers/*.sql\` by \`npm run manual\`; do not edit. Each is asked with
\`gallonage query NAME --param name=value\`, or \`GET /api/queries/NAME?name=value\`. All params may be left out.
A \`.sql\` file of your own with such a comment, in a folder given by \`--queries DIR\`, becomes a question of the same standing.

${questions.map((question) => `[${question.name}](#${question.name})`).join(' · ')}
${questions.map(sectionOf).join('')}`
}

function sectionOf(question: Question): string {
  const params = question.params.map((param) => `\`${param.name}\``).join(', ')
  const notes = question.notes.map((note) => `\n${note}\n`).join('')
  return `
## ${question.name}

${question.title}: ${question.grain}.${params ? ` Takes ${params}.` : ''}
${notes}
| column | what |
|---|---|
${question.columns.map((column) => `| \`${column.name}\` | ${column.about.replaceAll('|', '\\|')} |`).join('\n')}
`
}
