import { amendedRefs, amendmentText } from '../amendments/amendment-text.ts'
import { invoiceNote } from '../amendments/invoice-note.ts'
import { undoButton } from '../amendments/undo.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { evidenceRefs } from '../parts/evidence-refs.ts'
import { statusMark } from '../parts/status.ts'
import type { Row } from '../rows.ts'
import { timeText } from '../times.ts'
import { amendForms } from './amend.ts'
import { claimsTable, recordList } from './claims.ts'
import { observationBlock } from './observations.ts'
import type { Evidence } from './types.ts'

/** A record's evidence from top to bottom: what is found, the record, who said what, the lines, what was amended, what it goes with. */
export function bodyOf(evidence: Evidence, context: Context, tell: (words: string) => void): Child {
  return [
    evidence.record.is_excluded === true
      ? h('p', { class: 'caution' }, 'Left out of the account: it is kept here, and counted nowhere.')
      : null,
    evidence.findings.length
      ? h(
          'section',
          {},
          h('h3', {}, 'Findings'),
          h(
            'ul',
            { class: 'findings' },
            evidence.findings.map((finding) =>
              h('li', {}, statusMark(finding.severity), ` ${finding.finding}: ${finding.message}`),
            ),
          ),
        )
      : null,
    h('section', {}, h('h3', {}, 'The record'), recordList(evidence.record, context)),
    evidence.claims.length
      ? h('section', {}, h('h3', {}, 'Who said what'), claimsTable(evidence, context))
      : null,
    evidence.observations.length
      ? h(
          'section',
          {},
          h(
            'h3',
            {},
            evidence.observations.length === 1
              ? 'One line attests it'
              : `${evidence.observations.length} lines attest it`,
          ),
          evidence.observations.map((observation) => observationBlock(observation, context)),
        )
      : null,
    amendmentList(evidence, context),
    evidence.related.length
      ? h(
          'section',
          {},
          h('h3', {}, 'Goes with'),
          h(
            'ul',
            { class: 'related' },
            evidence.related
              .slice(0, 60)
              .map((item) =>
                h(
                  'li',
                  {},
                  h('a', { href: context.evidence(item.kind, item.id) }, item.label),
                  item.label.startsWith(item.kind) ? null : h('small', {}, ` ${item.kind}`),
                ),
              ),
          ),
          evidence.related.length > 60
            ? h('p', { class: 'units' }, `and ${evidence.related.length - 60} more`)
            : null,
        )
      : null,
    evidence.kind === 'invoice-line'
      ? h(
          'section',
          {},
          h('h3', {}, 'What was agreed'),
          invoiceNote(evidence.record, context, 'in-evidence-'),
        )
      : null,
    amendForms(evidence, context, tell),
  ]
}

function amendmentList(evidence: Evidence, context: Context): Child {
  if (!evidence.amendments.length) return null
  const { zone } = context.address
  return h(
    'section',
    {},
    h('h3', {}, 'Amendments'),
    h(
      'ul',
      { class: 'amendments' },
      evidence.amendments.map((amendment) => {
        const row = { ...amendment }
        const others = otherLines(row, evidence)
        return h(
          'li',
          {},
          h('b', {}, `${amendment.amendment_no}. ${amendmentText(row)}`),
          ` by ${amendment.made_by}, ${timeText(amendment.made_at, zone)} ${zone}: ${amendment.reason} `,
          others.length ? ['Other lines: ', evidenceRefs(others, context)] : null,
          amendment.undone ? h('em', {}, '(undone)') : undoButton(row, context, 'in-evidence-'),
        )
      }),
    ),
  )
}

/** Lines of an amendment that stand with another record now: what was split off, or was merged and is not any more. */
function otherLines(row: Row, { observations }: Evidence): string[] {
  const here = new Set(observations.map(({ obs_no }) => `obs:${obs_no}`))
  return amendedRefs(row).filter((reference) => reference.startsWith('obs:') && !here.has(reference))
}
