import { QueryProblem } from './problem.ts'
import {
  commonParams,
  type ParamType,
  type Question,
  type QuestionColumn,
  type QuestionParam,
} from './question.ts'

const namePattern = /^[a-z][a-z0-9]*(-[a-z0-9]+)*$/
const tagPattern = /^(title|grain|params|needs|columns|note)\s*:\s*(.*)$/
const types: ReadonlySet<string> = new Set(['text', 'day', 'number'])

/**
 * Reads the comment above a statement: `-- title:`, `-- grain:`, `-- params:`, `-- needs:`, `-- note:` and `-- columns:`
 * with one `--   name   meaning` line for each column. A param that is not one of the common ones may say its type
 * (`gallons:number`), and is text otherwise.
 * @throws QueryProblem `unreadable-query`, naming the file and what is missing.
 */
export function readQuestion(name: string, file: string, text: string, isBuiltIn: boolean): Question {
  if (!namePattern.test(name)) {
    throw unreadable(
      file,
      `the name ${name} is not made of small letters, digits and single dashes; rename the file`,
    )
  }
  const { comment, sql } = splitHeader(text)
  const found = readTags(comment, file)
  if (!sql) throw unreadable(file, 'there is no statement below the comment; write one SELECT')
  if (!found.title)
    throw unreadable(file, 'the comment has no line "-- title: …"; add one at the top of the file')
  return {
    name,
    title: found.title,
    grain: found.grain,
    params: readParams(found.params, file),
    columns: found.columns,
    notes: found.notes,
    needs: found.needs,
    sql,
    file,
    isBuiltIn,
  }
}

function splitHeader(text: string): { comment: string[]; sql: string } {
  const lines = text.replace(/^\uFEFF/, '').split(/\r?\n/)
  let end = 0
  while (end < lines.length && (lines[end]!.trim() === '' || lines[end]!.startsWith('--'))) end++
  const comment = lines.slice(0, end).filter((line) => line.startsWith('--'))
  const sql = lines.slice(end).join('\n').trim().replace(/;\s*$/, '')
  return { comment, sql }
}

type Tags = {
  title: string
  grain: string
  params: string
  needs: string | null
  columns: QuestionColumn[]
  notes: string[]
}

function readTags(comment: readonly string[], file: string): Tags {
  const tags: Tags = { title: '', grain: '', params: '', needs: null, columns: [], notes: [] }
  let open: 'columns' | 'note' | null = null
  for (const line of comment) {
    const body = line.replace(/^--/, '')
    const text = body.trim()
    const match = tagPattern.exec(text)
    if (match) {
      const [, tag, value] = match as unknown as [string, string, string]
      open = tag === 'columns' ? 'columns' : tag === 'note' ? 'note' : null
      if (tag === 'note') tags.notes.push(value)
      else if (tag === 'needs') tags.needs = value || null
      else if (tag === 'title' || tag === 'grain' || tag === 'params') tags[tag] = value
    } else if (open === 'columns' && text) {
      readColumn(tags.columns, body, file)
    } else if (open === 'note' && text) {
      tags.notes[tags.notes.length - 1] += ` ${text}`
    }
  }
  return tags
}

/** `--   name   meaning`; a line indented far more than the names goes on with the meaning above. */
function readColumn(columns: QuestionColumn[], body: string, file: string): void {
  const match = /^\s{1,6}([a-z][a-z0-9_]*)(?:\s+(.*))?$/.exec(body)
  if (match) {
    columns.push({ name: match[1]!, about: (match[2] ?? '').trim() })
    return
  }
  const last = columns.at(-1)
  if (!last) throw unreadable(file, `the line "--${body}" is no column; write "--   name   meaning"`)
  last.about = `${last.about} ${body.trim()}`.trim()
}

function readParams(text: string, file: string): QuestionParam[] {
  const names = text
    .split(/[\s,]+/)
    .map((part) => part.trim())
    .filter((part) => part !== '' && part !== 'none')
  return names.map((written) => {
    const [name, type] = written.split(':') as [string, string | undefined]
    if (!/^[a-z][a-z0-9_]*$/.test(name) || (type !== undefined && !types.has(type))) {
      throw unreadable(file, `the param "${written}" is not a name, or name:text, name:day, name:number`)
    }
    const common = commonParams[name]
    return {
      name,
      type: (type as ParamType | undefined) ?? common?.type ?? 'text',
      about: common?.about ?? '',
    }
  })
}

function unreadable(file: string, reason: string): QueryProblem {
  return new QueryProblem('unreadable-query', `${file}: ${reason}`)
}
