import {
  type Evidence,
  type EvidenceKind,
  evidenceKinds,
  nearRecord,
  type ObservationEvidence,
  readEvidence,
} from '../evidence/index.ts'
import { amendmentWords } from './amend-list.ts'
import { choose } from './choice.ts'
import type { Command } from './command.ts'
import { CommandError, UsageError } from './effects.ts'
import { withWarehouse } from './session.ts'

export const evidenceCommand: Command = {
  name: 'evidence',
  summary: 'everything behind one record, down to file and line',
  usage: `KIND ID   (KIND: ${evidenceKinds.join(', ')})`,
  options: {},
  examples: [
    'gallonage evidence drop D-N801ZY-20260704T183020Z',
    'gallonage evidence tank K-1',
    'gallonage evidence obs 12-345',
    'gallonage evidence invoice-line C-9/INV-1/2 --json',
  ],
  async run(args, effects) {
    const [kind, ...rest] = args.positionals
    const id = rest.join(' ')
    if (!kind || !id) throw new UsageError('name a kind and an id')
    const known = choose('a kind', kind, evidenceKinds)
    const evidence = await withWarehouse(args, effects, async (warehouse) => {
      const found = await readEvidence(warehouse, known, id)
      if (found) return found
      const near = await nearRecord(warehouse, known, id)
      const hint = near ? `the nearest in time is ${near}` : `"gallonage ${listOf[known]}" lists them`
      throw new CommandError(`there is no ${kind} ${id}; ${hint}`)
    })
    effects.out(args.flag('json') ? `${JSON.stringify(evidence, null, 2)}\n` : evidenceText(evidence))
    return 0
  },
}

/** Where the ids of a kind stand. */
const listOf: Readonly<Record<EvidenceKind, string>> = {
  drop: 'query drops',
  load: 'query loads',
  flight: 'query flights',
  offload: 'export --format csv',
  tank: 'query tanks',
  component: 'query tank-cycles',
  fire: 'query fires',
  base: 'query bases',
  aircraft: 'query gallons-by-aircraft',
  'invoice-line': 'query invoice-findings',
  file: 'query arrivals',
  finding: 'findings',
  obs: 'evidence drop ID',
}

export function isEvidenceKind(kind: string): kind is EvidenceKind {
  return (evidenceKinds as readonly string[]).includes(kind)
}

function evidenceText(evidence: Evidence): string {
  const lines = [evidence.title, '']
  if (evidence.record.is_excluded === true)
    lines.push('left out of the account: it is kept here, and counted nowhere', '')
  for (const [name, value] of Object.entries(evidence.record))
    if (value !== null) lines.push(`  ${name.padEnd(20)} ${shown(name, value)}`)
  if (evidence.claims.length > 0) {
    lines.push('', 'who said what (the first is taken)')
    for (const claim of evidence.claims) {
      const told = [claim.taken, ...claim.beaten]
        .filter((one) => one !== null)
        .map((one) => `${shown(claim.field, one.value ?? '-')} (${one.witness}, ${one.obs})`)
      lines.push(`  ${claim.field.padEnd(20)} ${told.join('  |  ')}`)
    }
  }
  if (evidence.observations.length > 0) {
    lines.push('', 'rows')
    for (const row of evidence.observations) lines.push(...rowText(row, '  '))
  }
  if (evidence.amendments.length > 0) {
    lines.push('', 'amendments')
    for (const one of evidence.amendments)
      lines.push(
        `  ${one.amendment_no} ${one.action} ${amendmentWords(one.payload)} by ${one.made_by} on ${one.made_at}: ${one.reason}${one.undone ? ' (undone)' : ''}`,
      )
  }
  if (evidence.findings.length > 0) {
    lines.push('', 'findings')
    for (const one of evidence.findings)
      lines.push(
        `  ${one.severity}: ${one.message}${one.state && one.state !== 'open' ? ` [${one.state}]` : ''}`,
      )
  }
  if (evidence.related.length > 0) {
    lines.push('', 'see also')
    for (const one of evidence.related)
      lines.push(`  gallonage evidence ${one.kind} ${one.id}   ${one.label}`)
  }
  return `${lines.join('\n')}\n`
}

function rowText(row: ObservationEvidence, indent: string): string[] {
  const offset = row.offset_min
    ? `, clock ${row.offset_min > 0 ? 'late' : 'early'} by ${Math.abs(row.offset_min)} min`
    : ''
  const link = row.decided_by ? `, ${row.decided_by}` : ''
  const role = row.role && row.role !== 'event' ? `, ${row.role}` : ''
  const lines = [
    `${indent}${row.obs} ${row.witness ?? row.kind} (${row.profile}), ${row.fate}${role}${link}${offset}`,
    `${indent}  ${row.file.path}:${row.line}, arrived ${row.file.arrived_at}`,
    `${indent}  ${row.raw_line ?? row.cells.map(([, text]) => text ?? '').join(' | ')}`,
  ]
  for (const older of row.history) lines.push(`${indent}  replaced:`, ...rowText(older, `${indent}    `))
  return lines
}

/** Digits behind the point that mean something, by the end of a field's name; a position has five, and `--json` all. */
const digits: Readonly<Record<string, number>> = {
  gal: 1,
  ft: 0,
  kt: 0,
  nm: 1,
  s: 1,
  min: 1,
  hours: 2,
  latitude: 5,
  longitude: 5,
}

/** A value without the dust of a conversion: 2,725.5 L are 720 gal, not 720.0009287021336. */
function shown(name: string, value: unknown): string {
  if (Array.isArray(value)) return value.join(', ')
  const most = digits[name.split('_').at(-1)!]
  const text = typeof value === 'object' ? JSON.stringify(value) : String(value)
  if (most === undefined || !/^-?\d+\.\d+$/.test(text)) return text
  return String(Number(Number(text).toFixed(most)))
}
