import { amendmentText } from '../amendments/amendment-text.ts'
import { undoButton } from '../amendments/undo.ts'
import { Problem } from '../api.ts'
import type { Context } from '../context.ts'
import { append, type Child, h } from '../h.ts'
import { failed, loading } from '../parts/states.ts'
import { statusMark } from '../parts/status.ts'
import { timeText } from '../times.ts'
import { amendForms } from './amend.ts'
import { claimsTable, recordList } from './claims.ts'
import { countEvidence } from './count.ts'
import { observationBlock } from './observations.ts'
import type { Evidence } from './types.ts'

/**
 * The side panel: what stands behind one record. A modal dialog, so the page behind is out of reach of Tab
 * and of screen readers, Escape closes it, and the focus returns to the link that opened it. News draws it again, unless
 * somebody is writing in it; a record that has another name since is followed through its lines.
 */
export class EvidencePanel {
  private readonly dialog = h('dialog', { class: 'panel', 'aria-labelledby': 'evidence-title' })
  private shown = ''
  private standing: Evidence | null = null
  private opener: Element | null = null
  private readonly onClose: () => void
  private readonly onRenamed: (reference: string) => void

  constructor(onClose: () => void, onRenamed: (reference: string) => void) {
    this.onClose = onClose
    this.onRenamed = onRenamed
    this.dialog.addEventListener('close', () => {
      if (this.shown) this.onClose()
      this.shown = ''
      this.standing = null
      const opener = this.opener?.isConnected ? this.opener : sameLink(this.opener)
      if (opener instanceof HTMLElement || opener instanceof SVGElement) opener.focus()
    })
    this.dialog.addEventListener('click', (event) => {
      if (event.target === this.dialog) this.dialog.close()
    })
    document.body.append(this.dialog)
  }

  /** Follows the address: opens, changes or closes. */
  async follow(context: Context, again = false): Promise<void> {
    const reference = context.address.evidence
    if (!reference) {
      this.shown = ''
      if (this.dialog.open) this.dialog.close()
      return
    }
    const view = `${reference} ${context.address.units} ${context.address.zone}`
    if (this.shown === view && !again) return
    if (this.shown === view && isWrittenIn(this.dialog)) {
      this.sayChanged(context)
      return
    }
    this.shown = view
    const [kind = '', ...rest] = reference.split(':')
    const id = rest.join(':')
    if (!this.dialog.open) {
      this.opener = document.activeElement
      this.fill(id, loading())
      this.dialog.showModal()
    }
    try {
      if (kind === 'count') {
        const { title, body } = await countEvidence(id, context)
        if (this.shown === view) this.fill(title, body)
        return
      }
      const evidence = await context.api.evidence<Evidence>(kind, id)
      if (this.shown !== view) return
      this.standing = evidence
      this.fill(evidence.title, bodyOf(evidence, context))
    } catch (error) {
      const name =
        error instanceof Problem && error.status === 404 ? await this.newName(kind, id, context) : null
      if (this.shown !== view) return
      if (name) this.onRenamed(`${kind}:${name}`)
      else
        this.fill(
          `${kind} ${id}`,
          failed(error, () => void this.follow(context, true)),
        )
    }
  }

  /** What the record that stood here is called now: a corrected time or a merge gives it another name. */
  private async newName(kind: string, id: string, context: Context): Promise<string | null> {
    const { standing } = this
    const line = standing?.kind === kind && standing.id === id ? standing.observations[0] : undefined
    if (!line) return null
    const evidence = await context.api.evidence<Evidence>('obs', line.obs).catch(() => null)
    return evidence?.related.find((one) => one.kind === kind)?.id ?? null
  }

  private sayChanged(context: Context): void {
    const header = this.dialog.querySelector('header')
    if (!header || header.querySelector('.left-out')) return
    header.append(
      h(
        'p',
        { class: 'left-out', role: 'status' },
        'The records have changed since this was opened. ',
        h(
          'button',
          {
            type: 'button',
            class: 'plain',
            onclick: () => {
              this.shown = ''
              void this.follow(context, true)
            },
          },
          'Show what stands now',
        ),
      ),
    )
  }

  private fill(title: string, body: Child): void {
    const close = h(
      'button',
      { type: 'button', class: 'close', 'aria-label': 'Close evidence', onclick: () => this.dialog.close() },
      '✕',
    )
    const content = h('div', { class: 'panel-body' })
    append(content, [body])
    this.dialog.replaceChildren(
      h(
        'header',
        {},
        h('p', { class: 'kicker' }, 'Evidence'),
        h('h2', { id: 'evidence-title', tabindex: '-1' }, title),
        close,
      ),
      content,
    )
    if (this.dialog.open) close.focus()
  }
}

/** The page may have been drawn again meanwhile: the link that leads where the old one led. */
function sameLink(opener: Element | null): Element | null {
  const href = opener?.getAttribute('href')
  return href ? document.querySelector(`main a[href="${CSS.escape(href)}"]`) : null
}

/** Whether a form holds what somebody wrote and has not sent. */
function isWrittenIn(element: HTMLElement): boolean {
  return [...element.querySelectorAll<HTMLInputElement>('form:not([data-sent]) input')].some(
    (input) => input.value !== input.defaultValue || input.checked !== input.defaultChecked,
  )
}

function bodyOf(evidence: Evidence, context: Context): Child {
  return [
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
      ? h('section', {}, h('h3', {}, 'Who said what'), claimsTable(evidence.claims, context))
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
    evidence.amendments.length
      ? h(
          'section',
          {},
          h('h3', {}, 'Amendments'),
          h(
            'ul',
            { class: 'amendments' },
            evidence.amendments.map((amendment) =>
              h(
                'li',
                {},
                h('b', {}, `${amendment.amendment_no}. ${amendmentText({ ...amendment })}`),
                ` by ${amendment.made_by}, ${timeText(amendment.made_at, context.address.zone)}: ${amendment.reason} `,
                amendment.undone
                  ? h('em', {}, '(undone)')
                  : undoButton({ ...amendment }, context, 'in-evidence-'),
              ),
            ),
          ),
        )
      : null,
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
    amendForms(evidence, context),
  ]
}
