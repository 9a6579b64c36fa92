import { basename } from 'node:path'
import { isKindName, kindOf } from '../kinds/index.ts'
import {
  type DraftColumn,
  type DraftRecord,
  draftColumns,
  draftRecord,
  likelyKind,
  usesDecimalComma,
} from './draft-record.ts'
import type { FoundFile } from './found-file.ts'
import { headerKey, tidyHeader } from './header.ts'
import { parseProfile } from './parse-profile.ts'
import { Peek } from './peek.ts'
import { isProblem, orProblem, type SourceProblem, SourceTrouble } from './problem.ts'
import { likelyHeader } from './unknown-headers.ts'

/** Words in a column of event types: which kind a line is of, or none. */
const lineKinds: readonly (readonly [string, RegExp])[] = [
  ['ignore', /^(boot|power ?up|self ?test|bit|sub ?total|total|sum|comment|note|heartbeat|status)s?$/i],
  ['offload', /^(off ?load|drain|download|defuel|pump ?out)/i],
  ['load', /^(load|fill|reload|refill|scoop)/i],
  ['drop', /^(drop|split|salvo|dump|jett|emer|e-?dump|release|train)/i],
  ['flight', /^(flight|flt|leg|sortie)/i],
]

/**
 * A whole profile for an unknown file, from its headers and first rows, to be corrected by a person: it always
 * parses, and its notes say what it is unsure of.
 */
export function draftProfile(file: FoundFile): Promise<string | SourceProblem> {
  return orProblem(file.path, async () => {
    const peek = await Peek.at(file)
    const row = likelyHeader(peek)
    const view = peek.views(null).find(({ rows }) => rows.includes(row))!
    const header = view.container === 'jsonl' ? row.cells : row.cells.map(tidyHeader)
    const below = view.rows.slice(view.rows.indexOf(row) + 1).map(({ cells }) => cells)
    const all = draftColumns(header, below).filter(({ header }) => header !== '')
    const columns = all.filter(
      (each, index) => all.findIndex((other) => headerKey(other.header) === headerKey(each.header)) === index,
    )
    const { records, ignore, unsure } = draftRecords(columns)
    const needsZone = records.some((record) => record.needsZone)
    const isWeight = records.some(({ fields }) =>
      Object.values(fields).some(({ unit }) => unit === 'lb' || unit === 'kg'),
    )
    const draft = {
      profile: nameOf(file.path),
      notes: [
        'A draft: read it line by line, correct it, then take this note away.',
        ...(needsZone
          ? [
              'zone: UTC is a placeholder; write the zone of the clock, such as America/Denver, or {"from": "base"}.',
            ]
          : []),
        ...unsure,
        ...records.flatMap((record) => record.unsure.map((each) => `${record.kind}: ${each}`)),
        ...unusedNote(columns, records),
      ],
      format: view.container,
      ...(view.container === 'csv' ? { csv: csvPart(view.delimiter, view.encoding, row.line) } : {}),
      ...(view.container === 'xlsx' ? { xlsx: { sheet: view.sheet, header_row: row.line } } : {}),
      ...(usesDecimalComma(columns) ? { decimal: ',' } : {}),
      headers: columns.map((column) => column.header),
      ...(needsZone ? { zone: 'UTC' } : {}),
      ...(isWeight ? { density_lb_per_gal: 8.33 } : {}),
      ...(ignore ? { ignore } : {}),
      records: records.map(({ kind, where, fields, constants }) => ({
        kind,
        ...(where ? { where } : {}),
        fields,
        ...(Object.keys(constants).length > 0 ? { constants } : {}),
      })),
    }
    const text = JSON.stringify(draft, null, 2)
    const parsed = parseProfile(text, file.path)
    if (isProblem(parsed))
      throw new SourceTrouble({ ...parsed, fix: 'write a profile by hand: no draft fits this file' })
    return text
  })
}

type Where = Record<string, string[]>
interface Drafted {
  records: (DraftRecord & { where?: Where })[]
  ignore: Where | null
  unsure: string[]
}

/** One record, or one per kind when a column of event types tells several apart. */
function draftRecords(columns: readonly DraftColumn[]): Drafted {
  const type = columns.find(({ meaning }) => meaning === 'type')
  const texts = [...new Set(type?.samples.filter((text) => text !== ''))]
  const byKind = new Map<string, string[]>()
  for (const text of texts) {
    const kind = lineKinds.find(([, words]) => words.test(text))?.[0] ?? 'unknown'
    byKind.set(kind, [...(byKind.get(kind) ?? []), text])
  }
  const ignored = byKind.get('ignore')
  const unknown = byKind.get('unknown')
  const found = [...byKind.keys()].filter((kind) => kind !== 'ignore' && kind !== 'unknown')
  const main = likelyKind(columns)
  if (
    !type ||
    texts.length > 20 ||
    found.length === 0 ||
    !['drop', 'load', 'offload', 'flight'].includes(main.name)
  ) {
    const unsure = [`the lines are taken to be of the kind '${main.name}'`]
    return { records: [draftRecord(main, columns)], ignore: null, unsure }
  }
  const records = found.map((name) => {
    if (!isKindName(name)) throw new Error(`${name} is no record kind`)
    return { ...draftRecord(kindOf(name), columns), where: { [type.header]: byKind.get(name)! } }
  })
  const unsure = [
    `only the first lines were seen: '${type.header}' may hold more than ${texts.map((text) => `'${text}'`).join(', ')}`,
  ]
  if (unknown)
    unsure.push(
      `'${type.header}' also holds ${unknown.map((text) => `'${text}'`).join(', ')}: put them under where or ignore`,
    )
  return { records, ignore: ignored ? { [type.header]: ignored } : null, unsure }
}

function csvPart(delimiter: string, encoding: string, headerLine: number): Record<string, string | number> {
  const part: Record<string, string | number> = { delimiter }
  if (encoding !== 'utf-8') part.encoding = encoding
  if (headerLine > 1) part.skip = headerLine - 1
  return part
}

function unusedNote(columns: readonly DraftColumn[], records: readonly DraftRecord[]): string[] {
  const used = new Set(records.flatMap(({ fields }) => Object.values(fields).flatMap(({ from }) => from)))
  const unused = columns
    .filter(({ header, meaning }) => !used.has(header) && meaning !== 'type')
    .map(({ header }) => header)
  return unused.length > 0 ? [`not read: ${unused.join(', ')}`] : []
}

function nameOf(path: string): string {
  return (
    basename(path)
      .replace(/(\.gz)?$/i, '')
      .replace(/\.[a-z]+$/i, '')
      .replace(/[-_ ]*\d{4}[-_]?\d{2}([-_]?\d{2})?$/, '') || 'new-profile'
  )
}
