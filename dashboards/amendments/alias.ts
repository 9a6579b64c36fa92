import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { type Row, textOf } from '../rows.ts'
import { option } from './sign.ts'
import { signedDialog } from './signed-dialog.ts'

const kinds = ['aircraft', 'tank', 'base', 'fire'] as const
type Kind = (typeof kinds)[number]

/** Where the names on record of each kind are asked for: question, column, and what else it is called. */
const registers: Readonly<Record<Kind, readonly [query: string, column: string, also: string | null]>> = {
  aircraft: ['gallons-by-aircraft', 'aircraft', 'call_number'],
  tank: ['tanks', 'tank', null],
  base: ['bases', 'base', 'name'],
  fire: ['fires', 'fire', 'name'],
}

/** What a row in quarantine, or a finding, says is called by no name on record. */
export function unknownName(row: Row): { kind: Kind; alias: string } | null {
  const inQuarantine = /^no (aircraft|tank|base|fire) on record is called (.+?)(; did they mean .*)?$/.exec(
    textOf(row.reason),
  )
  if (inQuarantine) return { kind: inQuarantine[1] as Kind, alias: textOf(row.text) || inQuarantine[2]! }
  const found = /^unknown-(fire|base)$/.exec(textOf(row.finding))
  const written = /^"(.+?)" is no (fire|base)/.exec(textOf(row.message))
  return found && written ? { kind: found[1] as Kind, alias: written[1]! } : null
}

/** A button in the row of an unknown name. */
export function aliasButton(row: Row, context: Context): Child {
  const unknown = unknownName(row)
  return unknown
    ? h(
        'button',
        {
          type: 'button',
          class: 'plain',
          id: `alias-${unknown.kind}-${unknown.alias}-${textOf(row.line)}`.replace(/[^\w-]/g, '_'),
          'aria-label': `Say who ${unknown.alias} is`,
          onclick: () => void giveAlias(context, unknown),
        },
        'Say who',
      )
    : null
}

/** Gives an aircraft, tank, base or fire another name; what waits in quarantine for that name is tried again. */
export async function giveAlias(
  context: Context,
  known: { kind: Kind; alias: string } | null = null,
): Promise<void> {
  const target = h('select', { name: 'target', required: true })
  const kind = h(
    'select',
    { name: 'kind', onchange: () => void fill() },
    kinds.map((one) => option(one)),
  )
  if (known) kind.value = known.kind
  async function fill(): Promise<void> {
    const [query, column, also] = registers[kind.value as Kind]
    const rows = context.api.has(query) ? await context.api.query<Row>(query, {}) : []
    const names = rows
      .map((row) => [textOf(row[column]), also ? textOf(row[also]) : ''] as const)
      .filter(([name]) => name && !['unattributed', 'unknown', 'no drop'].includes(name))
    target.replaceChildren(
      option('', 'choose one'),
      ...names.map(([name, other]) => option(name, other ? `${name} ${other}` : name)),
    )
  }
  await fill()
  signedDialog(
    {
      title: 'Another name',
      about: h('p', {}, 'Rows that wait in quarantine for this name are tried again.'),
      legend: 'Who is it?',
      submit: 'Record the name',
      fields: [
        h('label', {}, 'Kind', kind),
        h('label', {}, 'On record as', target),
        h(
          'label',
          {},
          'Also called',
          h('input', {
            name: 'alias',
            required: true,
            maxlength: 200,
            autocomplete: 'off',
            value: known?.alias ?? '',
          }),
        ),
      ],
      action: 'alias',
      payload: (data) => ({
        kind: String(data.get('kind')),
        target: String(data.get('target') ?? ''),
        alias: String(data.get('alias')).trim(),
      }),
    },
    context,
  )
}
